export type Value = string | number | null
export type Row = Record<string, Value>

/** Every character but U+0000: PostgreSQL refuses it, and what follows it in SQLite is not read back. */
export const storable = (value: Value): Value => (typeof value === 'string' ? value.replaceAll('\0', '\uFFFD') : value)

/** Statements, with `?` for each value. */
export interface Sql {
  get(sql: string, ...values: Value[]): Promise<Row | undefined>
  all(sql: string, ...values: Value[]): Promise<Row[]>
  /** @returns how many rows it changed */
  run(sql: string, ...values: Value[]): Promise<number>
  /** several statements without values */
  exec(sql: string): Promise<void>
}

/** What differs from one database to the other, as pieces of SQL. */
export interface Dialect {
  name: 'sqlite' | 'postgresql'
  /** compared byte by byte, so that both sort alike */
  text: string
  /** ends a table that checks its types */
  strict: string
  /** ends a table that is kept in the order of its key */
  keyed: string
  /** a column that grows with every row, and its name */
  counter: string
  counted: string
  /** ends a `select` of rows that are going to be changed */
  forUpdate: string
}

/** Taken inside a transaction, it keeps everybody else who wants the same out until the end. */
export type Lock = (name: string) => Promise<void>
/** Tells the other servers on this database once the transaction is kept. */
export type Notify = (what: string) => Promise<void>
export type Transaction = Sql & { lock: Lock; notify: Notify }

export interface Database extends Sql {
  readonly dialect: Dialect
  /** All of it or nothing; kept when the promise is. */
  transaction<T>(work: (sql: Transaction) => Promise<T>): Promise<T>
  /** One moment's view of everything, for a back-up. */
  snapshot<T>(work: (sql: Sql) => Promise<T>): Promise<T>
  /**
   * What other servers on the same database have told; `undefined`: some of it may have been missed.
   * @returns what ends it
   */
  listen(listener: (what: string | undefined) => void): () => void
  /** Leaves nothing of what was deleted behind, as far as the database can do that by itself. */
  scrub(): Promise<void>
  close(): Promise<void>
}
