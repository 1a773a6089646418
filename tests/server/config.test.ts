import { describe, expect, it } from 'vitest'
import { ConfigError, readConfig } from '../../server/config.ts'

describe('configuration', () => {
  it('needs nothing', () => {
    expect(readConfig({})).toEqual({
      port: 8080,
      host: '127.0.0.1',
      dataDir: './data',
      pagesDir: undefined,
      database: 'sqlite',
      logLevel: 'info',
      origins: [],
    })
  })

  it('takes what is set; an empty value counts as not set', () => {
    const config = readConfig({
      PORT: '0',
      HOST: '0.0.0.0',
      DATA_DIR: '/srv/cases',
      DATABASE_URL: '',
      LOG_LEVEL: 'warn',
      ORIGINS: 'https://larch-lake.example, http://localhost:3000',
    })
    expect(config).toMatchObject({ port: 0, host: '0.0.0.0', dataDir: '/srv/cases', logLevel: 'warn' })
    expect(config.origins).toEqual(['https://larch-lake.example', 'http://localhost:3000'])
  })

  it.each(['postgres://u:p@db.example:5432/benchlamp', 'postgresql://localhost/benchlamp'])('takes %s', (url) => {
    expect(readConfig({ DATABASE_URL: url }).database).toEqual({ postgresql: url })
  })

  it.each([
    ['PORT', 'eighty', /PORT=eighty can't be used\. Set PORT to a whole number/],
    ['PORT', '65536', /Set PORT/],
    ['PORT', '-1', /Set PORT/],
    ['PORT', '80.5', /Set PORT/],
    ['HOST', 'not a host', /Set HOST/],
    ['LOG_LEVEL', 'loud', /one of fatal, error, warn, info/],
    ['ORIGINS', 'larch-lake.example', /https:\/\/www\.example\.org/],
    ['ORIGINS', 'https://larch-lake.example/shop', /scheme and host alone/],
    ['DATABASE_URL', 'mysql://u:secret@db/x', /set it to postgres:\/\/user:password@host/],
    ['DATABASE_URL', 'postgres:db', /set it to postgres:/],
  ])('refuses %s=%s and says what to set', (name, value, says) => {
    expect(() => readConfig({ [name]: value })).toThrow(ConfigError)
    expect(() => readConfig({ [name]: value })).toThrow(says)
  })

  it('names every bad setting at once, and shows no password', () => {
    try {
      readConfig({ PORT: 'x', LOG_LEVEL: 'y', DATABASE_URL: 'mysql://u:secret@db/x' })
      expect.unreachable()
    } catch (error) {
      const { message } = error as Error
      expect(message).toMatch(/PORT=x/)
      expect(message).toMatch(/LOG_LEVEL=y/)
      expect(message).not.toMatch(/secret/)
    }
  })
})
