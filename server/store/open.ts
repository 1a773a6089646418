import type { Config } from '../config.ts'
import { ConfigError } from '../config.ts'
import type { Database } from './database.ts'
import { migrate } from './migrations.ts'
import { PostgresDatabase } from './postgresql.ts'
import { SqlStore } from './sql-store.ts'
import { SqliteDatabase } from './sqlite.ts'

/** The database that the settings name, not looked into yet. */
export function databaseOf({ database, dataDir }: Pick<Config, 'database' | 'dataDir'>): Database {
  if (database !== 'sqlite') return new PostgresDatabase(database.postgresql)
  try {
    return SqliteDatabase.inFolder(dataDir)
  } catch (error) {
    throw sayOpening(error, dataDir) ?? error
  }
}

/**
 * The store that the settings name, with the newest schema.
 *
 * @throws NewerSchema, ConfigError where it can't be reached or written to
 */
export async function openStore(config: Pick<Config, 'database' | 'dataDir'>, at: string): Promise<SqlStore> {
  const db = databaseOf(config)
  try {
    await migrate(db, at)
    return new SqlStore(db)
  } catch (error) {
    await db.close().catch(() => undefined)
    throw (config.database === 'sqlite' ? sayOpening(error, config.dataDir) : sayReaching(error)) ?? error
  }
}

/** One SQLite file, or ":memory:". */
export async function openSqlite(file: string, at: string): Promise<SqlStore> {
  const db = new SqliteDatabase(file)
  try {
    await migrate(db, at)
    return new SqlStore(db)
  } catch (error) {
    await db.close()
    throw error
  }
}

function sayOpening(error: unknown, folder: string): ConfigError | undefined {
  const code = (error as { code?: string }).code ?? ''
  if (['EACCES', 'EPERM', 'EROFS', 'ENOTDIR', 'EEXIST', 'SQLITE_CANTOPEN', 'SQLITE_READONLY'].includes(code)) {
    return new ConfigError(`DATA_DIR=${folder} can't be written to (${code}). Set DATA_DIR to a folder that can.`)
  }
  if (code === 'SQLITE_NOTADB' || code === 'SQLITE_CORRUPT') {
    return new ConfigError(
      `The database in DATA_DIR=${folder} is damaged (${code}). Restore a back-up, or set DATA_DIR to another folder.`,
    )
  }
  return undefined
}

/** Error codes: appendix A of PostgreSQL's manual, and Node's for the network. */
const REACHING: Record<string, string> = {
  '28P01': 'the password is not accepted. Mend the user or the password in it',
  '28000': 'the user may not connect. Mend the user in it, or what the server allows',
  '3D000': 'there is no such database. Create it, or mend its name',
  '42501': 'the user may not create tables there. Give it the right to, or take another user',
  '53300': 'the server has too many connections already. Raise its max_connections',
  ECONNREFUSED: 'nothing answers there. Start PostgreSQL, or mend host and port',
  ENOTFOUND: 'its host is not known. Mend the host',
  EAI_AGAIN: 'its host can not be looked up now. Mend the host or the name server',
  ETIMEDOUT: 'nothing answers there in time. Mend host and port, or the network',
  EHOSTUNREACH: 'its host can not be reached. Mend the host or the network',
  ECONNRESET: 'the connection broke. Is it a PostgreSQL that listens there?',
}

function sayReaching(error: unknown): ConfigError | undefined {
  const { code = '', message = '' } = error as { code?: string; message?: string }
  const said =
    REACHING[code] ??
    (/timeout|terminated/i.test(message)
      ? 'nothing answers there in time. Mend host and port, or the network'
      : undefined)
  // Never the address itself: it can hold a password.
  return said === undefined ? undefined : new ConfigError(`DATABASE_URL can't be used: ${said}${code && ` (${code})`}.`)
}
