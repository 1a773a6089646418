import { createInterface } from 'node:readline'
import { parseArgs } from 'node:util'
import { PROTOCOL_VERSION, type ServerMessage } from '../../rules/protocol/index.ts'
import type { CarFacts } from '../../rules/schema/car.ts'
import { CaseService } from '../cases/service.ts'
import { Session } from '../cases/session.ts'
import { DEMO_SHOP } from '../demo.ts'
import { loadConversation } from '../knowledge/conversation.ts'
import { Shelf } from '../knowledge/shelf.ts'
import { makeLog } from '../log.ts'
import { realOutside } from '../outside.ts'
import { printProblems } from '../run.ts'
import { openSqlite } from '../store/open.ts'
import { Teller } from './teller.ts'
import { COMMANDS, readFacts, readTyped } from './typed.ts'

const HELP = `npm run --silent ask -- [--role ROLE] [--car FACTS] [--tag TAG] [--json]

Holds a conversation in the terminal, the same as in the browser. Nothing is kept: it ends with the command.
  --role ROLE   technician (without it), or customer: a customer is asked less and told less
  --car FACTS   what is known of the car: drive=resistor-contactor,packVolts=36
  --tag TAG     the car's number
  --json        one JSON message a line in and out, the same as over the socket; begin with
                {"v":1,"id":"1","type":"open"}; see rules/protocol/README.md
  --help        this

Lines may be typed or piped in. ${COMMANDS}`

interface Flags {
  role: 'customer' | 'technician'
  facts: CarFacts
  tag?: string
  json: boolean
}

function readFlags(): Flags {
  const wrong = (text: string): never => {
    console.error(`${text}\n"npm run --silent ask -- --help" lists what there is.`)
    process.exit(2)
  }
  try {
    const { values } = parseArgs({
      options: {
        role: { type: 'string', default: 'technician' },
        car: { type: 'string' },
        tag: { type: 'string' },
        json: { type: 'boolean', default: false },
        help: { type: 'boolean', short: 'h', default: false },
      },
    })
    if (values.help) {
      console.log(HELP)
      process.exit(0)
    }
    const { role, car, tag, json } = values
    if (role !== 'customer' && role !== 'technician') return wrong(`--role is customer or technician, not "${role}".`)
    if (json && (car !== undefined || tag !== undefined))
      return wrong('With --json, the "open" message gives the facts and the tag.')
    if (tag !== undefined && tag.length > 40) return wrong('--tag has 40 characters at most.')
    const facts = car === undefined ? { facts: {} } : readFacts(car)
    if ('problem' in facts) return wrong(`--car: ${facts.problem}`)
    return { role, facts: facts.facts, tag, json }
  } catch (error) {
    const { code, message } = error as { code?: string; message: string }
    if (code?.startsWith('ERR_PARSE_ARGS')) return wrong(message)
    throw error
  }
}

const flags = readFlags()
const loaded = await loadConversation()
if (!loaded.conversation) {
  printProblems(loaded.problems)
  process.exit(1)
}
const store = await openSqlite(':memory:', realOutside.now())
await store.putShop(DEMO_SHOP)
const service = new CaseService({
  store,
  shelf: new Shelf(loaded.conversation),
  outside: realOutside,
  log: makeLog('error'),
})
// Whoever reads us may stop early, as `head` does.
process.stdout.on('error', () => process.exit(0))

const preset = { id: 'terminal', shop: DEMO_SHOP.id, role: flags.role }
const lines = createInterface({ input: process.stdin, terminal: process.stdin.isTTY && process.stdout.isTTY })

if (flags.json) {
  const session = new Session(service, {
    preset,
    send: (messages) => {
      for (const message of messages) process.stdout.write(`${JSON.stringify(message)}\n`)
    },
  })
  for await (const line of lines) if (line.trim() !== '') await session.take(line)
} else {
  await talk()
}
await store.close()

async function talk() {
  const teller = new Teller(flags.role, (line) => process.stdout.write(`${line}\n`))
  const collected: ServerMessage[] = []
  const session = new Session(service, { preset, send: (messages) => void collected.push(...messages) })
  let id = 0
  const send = async (message: object) => {
    await session.take(JSON.stringify({ v: PROTOCOL_VERSION, id: String(++id), ...message }))
    teller.tell(collected.splice(0))
  }
  await send({ type: 'open', facts: flags.facts, ...(flags.tag === undefined ? {} : { tag: flags.tag }) })
  if (process.stdin.isTTY) console.log('("help" lists what can be typed, "quit" ends)')
  lines.setPrompt('> ')
  const prompt = () => {
    if (process.stdin.isTTY) lines.prompt()
  }
  prompt()
  for await (const line of lines) {
    // Piped in, what was typed would be missing from the text.
    if (!process.stdin.isTTY && line.trim() !== '') console.log(`\n> ${line.trim()}`)
    const typed = readTyped(line, teller)
    if (typed?.do === 'quit') break
    if (typed?.do === 'send') await send(typed.message)
    if (typed?.do === 'say') console.log(typed.text)
    if (typed?.do === 'show') typed.show()
    prompt()
  }
  lines.close()
}
