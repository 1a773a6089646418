import { realOutside } from '../outside.ts'
import { readConfigOrExit } from '../run.ts'
import { InUse, moveStore } from '../store/move.ts'
import { openStore } from '../store/open.ts'
import { argumentsOf, asCommand, table } from './command.ts'

const HELP = `DATABASE_URL=postgres://... npm run move-store

Copies everything from the SQLite file in DATA_DIR into the PostgreSQL that DATABASE_URL names, counts both sides and
compares every row. Stop the server first; afterwards start it with the same DATABASE_URL. The file stays as it is.`

argumentsOf(HELP, {}, { least: 0, most: 0 })
await asCommand(async () => {
  const config = readConfigOrExit()
  if (config.database === 'sqlite') {
    console.error(`DATABASE_URL is not set: it says where to.\n\n${HELP}`)
    process.exitCode = 2
    return
  }
  const now = realOutside.now()
  const from = await openStore({ database: 'sqlite', dataDir: config.dataDir }, now)
  try {
    const to = await openStore(config, now)
    try {
      const moved = await moveStore(from.db, to.db)
      console.log(
        table([
          ['table', 'SQLite', 'PostgreSQL', 'rows'],
          ...moved.map((m) => [m.table, String(m.from), String(m.to), m.same ? 'the same' : 'DIFFERENT']),
        ]),
      )
      if (moved.every((m) => m.same)) console.log('Moved. Start the server with this DATABASE_URL.')
      else {
        console.error('The two sides differ: was the server still running? Empty the database and move again.')
        process.exitCode = 1
      }
    } catch (error) {
      if (!(error instanceof InUse)) throw error
      console.error(error.message)
      process.exitCode = 1
    } finally {
      await to.close()
    }
  } finally {
    await from.close()
  }
})
