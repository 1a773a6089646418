import { afterEach, expect, it, vi } from 'vitest'
import { fetchRemedies } from './catalogue.ts'

afterEach(() => vi.unstubAllGlobals())

it('asks for the names in the language of the screen, not of the browser, and sorts them by it', async () => {
  const asked: [string, Record<string, string>][] = []
  const names: Record<string, string[]> = { en: ['Set', 'Change'], es: ['Zafar', 'Ñapa', 'Nivelar'] }
  vi.stubGlobal('fetch', async (url: URL, { headers }: { headers: Record<string, string> }) => {
    asked.push([url.href, headers])
    const remedies = names[headers['accept-language']!]!.map((name) => ({ id: name.toLowerCase(), name }))
    return Response.json({ remedies })
  })
  const read = async (language: string) =>
    (await fetchRemedies('https://garage.example', 'demo', 'pass-1', language)).map((r) => r.name)
  expect(await read('es')).toEqual(['Nivelar', 'Ñapa', 'Zafar'])
  expect(await read('en')).toEqual(['Change', 'Set'])
  expect(asked[0]).toEqual([
    'https://garage.example/api/shop/catalogue?shop=demo',
    { authorization: 'Bearer pass-1', 'accept-language': 'es' },
  ])
})
