import { createReadStream, existsSync, statSync } from 'node:fs'
import { createServer, type Server } from 'node:http'
import { extname, join, normalize } from 'node:path'
import { WebSocketServer } from 'ws'
import type {
  AskBody,
  CautionBody,
  ClientMessageInput,
  FindingBody,
  Noted,
  Opened,
  ServerMessage,
  TrailItem,
} from '../../rules/protocol/index.ts'
import * as fixture from './fixtures.ts'

type Step = Exclude<ClientMessageInput, { type: 'open' }>
type Body = ServerMessage extends infer M
  ? M extends ServerMessage
    ? Omit<M, 'v' | 're' | 'case' | 'seq'>
    : never
  : never

/** One case: what was said and answered, in order. Everything shown follows from it. */
interface Case {
  id: string
  role: Opened['role']
  code: string
  seq: number
  tag?: string
  complaint?: string
  answers: { check: string; text: string; reading?: TrailItem['reading'] }[]
  acknowledged: string[]
  carState: Noted['carState']
  facts: Noted['facts']
  notes: Noted['notes']
  repaired: Noted['repaired']
  picked?: string
  status: 'open' | 'closed'
  /** replies by message id: the same id again has no further effect */
  done: Record<string, Body[]>
}

const CUSTOMER = [fixture.bothWays, fixture.whereItJerks]
const TECHNICIAN = [fixture.clicks, fixture.coilLamp, fixture.busBar]
const ALL = [...CUSTOMER, ...TECHNICIAN, fixture.busBarRow]
const TYPES: Record<string, string> = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
}

/**
 * Speaks the protocol from a script, so that the element can be worked on and tested with no server: a customer's three
 * turns to a hand-over, a technician's to contactor 4. It knows nothing about cars; it follows its list.
 */
export class FakeServer {
  readonly cases = new Map<string, Case>()
  /** every message taken, as it came, for tests to count */
  readonly taken: ClientMessageInput[] = []
  /** for tests: what keeps the server from taking a message just now */
  before: (message: ClientMessageInput) => 'busy' | undefined = () => undefined
  #http?: Server
  #sockets?: WebSocketServer
  #port = 0
  #made = 0

  constructor(private readonly folder: string) {}

  /** @returns the address; the same port again after a stop */
  async start(port = this.#port): Promise<string> {
    const http = createServer((request, response) => {
      const path = new URL(request.url ?? '/', 'http://x').pathname
      if (path === '/api/shop/about') {
        const { id, name, phone, hours } = fixture.opened('customer').shop
        response.writeHead(200, { 'content-type': 'application/json' }).end(JSON.stringify({ id, name, phone, hours }))
        return
      }
      const named = { '/': '/index.html', '/bench': '/bench.html', '/gallery': '/gallery.html' }[path] ?? path
      const file = join(this.folder, normalize(named))
      if (!file.startsWith(this.folder) || !existsSync(file) || !statSync(file).isFile()) {
        response.writeHead(404).end()
        return
      }
      response.writeHead(200, {
        'content-type': `${TYPES[extname(file)] ?? 'application/octet-stream'}; charset=utf-8`,
        'access-control-allow-origin': '*',
        'content-security-policy':
          "default-src 'self'; style-src 'self'; connect-src 'self' ws:; img-src 'self' data: blob:",
      })
      createReadStream(file).pipe(response)
    })
    this.#http = http
    this.#sockets = new WebSocketServer({ server: http, path: '/converse' })
    this.#sockets.on('connection', (socket) => {
      let at: Case | undefined
      socket.on('message', (data) => {
        const message = JSON.parse(String(data)) as ClientMessageInput
        this.taken.push(message)
        const code = this.before(message)
        if (code) {
          socket.send(JSON.stringify({ v: 1, re: message.id, type: 'error', code, text: 'Busy.', mend: 'Wait.' }))
          return
        }
        if (message.type === 'open') at = this.#open(message)
        const bodies =
          message.type === 'open' ? [this.#opened(at!, message), ...this.#view(at!)] : this.#take(at!, message)
        for (const body of bodies)
          socket.send(JSON.stringify({ v: 1, re: message.id, case: at!.id, seq: at!.seq, ...body }))
      })
    })
    await new Promise<void>((resolve) => http.listen(port, '127.0.0.1', resolve))
    this.#port = (http.address() as { port: number }).port
    return `http://127.0.0.1:${this.#port}`
  }

  /** Ends as a killed process would: no good-bye. The cases stay, as they do in a file. */
  async stop(): Promise<void> {
    for (const socket of this.#sockets?.clients ?? []) socket.terminate()
    this.#http?.closeAllConnections()
    await new Promise((resolve) => this.#http?.close(resolve))
  }

  #open(message: Extract<ClientMessageInput, { type: 'open' }>): Case {
    const known = [...this.cases.values()].find(
      (c) => c.id === message.case || (message.code && c.code === message.code),
    )
    if (known) {
      if (message.pass === 'technician') known.role = 'technician'
      return known
    }
    const id = `case-${++this.#made}`
    const made: Case = {
      id,
      role: message.pass === 'technician' ? 'technician' : 'customer',
      code: `K${this.#made}-204`,
      seq: 1,
      tag: message.tag,
      answers: [],
      acknowledged: [],
      carState: {},
      facts: {},
      notes: [],
      repaired: [],
      status: 'open',
      done: {},
    }
    this.cases.set(id, made)
    return made
  }

  #opened(c: Case, message: { pass?: string }): Body {
    const {
      v,
      case: _,
      seq,
      ...body
    } = fixture.opened(c.role, { code: c.code, tag: c.tag, facts: c.facts, carState: c.carState, status: c.status })
    return { ...body, ...(!message.pass && { pass: `pass-${c.id}` }) }
  }

  #take(c: Case, m: Step): Body[] {
    c.done[m.id] ??= this.#step(c, m)
    return c.done[m.id]!
  }

  #step(c: Case, m: Step): Body[] {
    const refuse = (
      code: Extract<ServerMessage, { type: 'refused' }>['code'],
      text: string,
      mend: string,
      field?: string,
    ): Body[] => [{ type: 'refused', code, text, mend, field }]
    c.seq++
    switch (m.type) {
      case 'say': {
        const known = m.complaints ?? (/jerk|lurch|hesitat/i.test(m.text ?? '') ? ['jerks-on-acceleration'] : [])
        if (known.length === 0) {
          const { v, case: _, seq, ...body } = /mower/i.test(m.text ?? '') ? fixture.unknown : fixture.unsure
          return [body]
        }
        c.complaint = known[0]
        return this.#view(c, 'Understood: it jerks as it speeds up.')
      }
      case 'answer': {
        if (c.status === 'closed') return refuse('case-closed', 'This job card is closed.', 'Open a new one.')
        for (const [i, a] of m.answers.entries()) {
          const asked = ALL.find((x) => x.check === a.check)
          const value = a.reading?.value
          if (value !== undefined && value > 60) {
            return refuse(
              'out-of-range',
              `${value} V is more than this meter shows.`,
              'Enter 0 to 60 V.',
              `answers[${i}].reading.value`,
            )
          }
          if (a.text !== undefined && !/\d|yes|no|half/i.test(a.text)) {
            return refuse(
              'not-understood',
              `“${a.text}” was not understood.`,
              'Pick an answer, or say it in other words.',
            )
          }
          const label = asked?.outcomes.find((o) => o.id === a.outcome)?.label
          c.answers = c.answers.filter((x) => x.check !== a.check)
          c.answers.push({
            check: a.check,
            text: a.text ?? label ?? (value === undefined ? 'Don’t know' : `${value} ${a.reading!.unit}`),
            reading: a.reading,
          })
        }
        c.picked = undefined
        return this.#view(c)
      }
      case 'retract':
        if (m.check.startsWith('complaint.')) c.complaint = undefined
        c.answers = c.answers.filter((a) => a.check !== m.check)
        return this.#view(c, 'Taken back. What it had ruled out is possible again.')
      case 'pick':
        c.picked = m.check ?? undefined
        return this.#view(c)
      case 'why': {
        const { v, case: _, seq, ...body } = fixture.because
        return [{ ...body, check: m.cause ? undefined : m.check, cause: m.cause }]
      }
      case 'acknowledge':
        c.acknowledged.push(m.caution)
        return this.#view(c)
      case 'car-state':
        c.carState = { ...c.carState, ...m.state }
        return this.#view(c)
      case 'facts':
        c.facts = { ...c.facts, ...m.facts }
        c.tag = m.tag ?? c.tag
        return this.#view(c)
      case 'tell':
        c.notes.push({ seq: c.seq, text: m.text.trim(), by: c.role, at: fixture.AT })
        return this.#view(c)
      case 'repaired':
        c.repaired.push({ remedy: m.remedy, name: 'Replace contactor 4', seq: c.seq })
        c.answers = c.answers.filter((a) => a.check !== fixture.proof.check)
        return this.#view(c, 'Repaired: replace contactor 4. Now prove it.')
      case 'close':
        if (c.carState.bridged?.length) {
          return refuse('bridged', 'A part is still bridged.', 'Take the bridge out, say so, then close.')
        }
        c.status = 'closed'
        return this.#view(c, 'The job card is closed.')
      default:
        // Messages that the script has no use for are noted and change nothing.
        return this.#view(c)
    }
  }

  #view(c: Case, say?: string): Body[] {
    const technician = c.role !== 'customer'
    const trail: TrailItem[] = [
      ...(c.complaint
        ? [
            {
              check: `complaint.${c.complaint}`,
              question: 'What is wrong?',
              answer: 'It jerks as I speed up',
              by: c.role,
              seq: 2,
              at: fixture.AT,
            },
          ]
        : []),
      ...c.answers.map((a, i) => ({
        check: a.check,
        question: ALL.find((x) => x.check === a.check)?.title ?? a.check,
        answer: a.text,
        reading: a.reading,
        by: c.role,
        seq: 3 + i,
        at: fixture.AT,
      })),
    ]
    const list = technician ? TECHNICIAN : CUSTOMER
    const next = list.find((a) => !c.answers.some((x) => x.check === a.check))
    const picked = ALL.find((a) => a.check === c.picked)
    const done = !next && c.complaint
    const finding: FindingBody | null =
      done || c.repaired.length > 0 ? { ...(technician ? fixture.finding : fixture.handOver), code: c.code } : null
    const ask: AskBody | null =
      c.status === 'closed'
        ? null
        : !c.complaint
          ? fixture.complaintAsk
          : picked
            ? { ...picked, picked: true }
            : c.repaired.length > 0
              ? next
                ? fixture.proof
                : null
              : (next ?? null)
    const acknowledged = c.acknowledged.includes(fixture.wheelsTurn.id)
    const cautions: CautionBody[] =
      technician && c.complaint ? [{ ...fixture.wheelsTurn, acknowledged }] : finding ? [fixture.slope] : []
    const held = technician && c.complaint && !acknowledged
    const level = finding ? 'sure' : c.answers.length > 1 ? 'warm' : 'start'
    const standing = fixture.standing(level)
    const { v: _v, case: _c, seq: _s, ...stand } = standing
    const {
      v,
      case: _,
      seq,
      ...notedBody
    } = fixture.noted(c.role, trail, {
      say,
      tag: c.tag,
      facts: c.facts,
      carState: c.carState,
      notes: c.notes,
      repaired: c.repaired,
      status: c.status,
      reminders: (c.carState.bridged ?? []).map((b) => `${b} is bridged: take the bridge out before closing.`),
    })
    return [
      notedBody,
      { type: 'caution', cautions, stop: false },
      stand,
      { type: 'finding', finding },
      {
        type: 'ask',
        ask: held ? null : ask && { ...ask, setUp: c.carState.wheels === 'raised' ? [] : ask.setUp },
        because: held ? 'A caution waits.' : undefined,
      },
    ]
  }
}

if (process.argv[1] === import.meta.filename) {
  const url = await new FakeServer(join(import.meta.dirname, '../dist')).start(Number(process.env['PORT'] ?? 8090))
  console.log(`The fake server is at ${url}/ and ${url}/bench#pass=technician`)
}
