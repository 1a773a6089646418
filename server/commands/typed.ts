import type { StepMessage } from '../../rules/protocol/index.ts'
import { type CarFacts, type CarState, carFacts, carState } from '../../rules/schema/car.ts'
import type { Teller } from './teller.ts'

type Message = StepMessage extends infer M ? (M extends { v: unknown } ? Omit<M, 'v' | 'id'> : never) : never

export type Typed =
  | { do: 'send'; message: Message }
  | { do: 'show'; show: () => void }
  | { do: 'say'; text: string }
  | { do: 'quit' }

export const COMMANDS = `Anything else you type answers the question, or says what is wrong.

  ok                    the caution is read and done
  skip                  don't know: ask something else
  undo, undo 3          take the last answer back, or the third of the trail
  why, why 2            why this question; why the second cause of the standing
  standing              what can still be wrong, likeliest first
  trail                 what was answered
  checks, pick 2        other checks worth their minutes; take the second instead (pick none: back)
  CHECK=ANSWER, ...     answers unasked, or a row at once: step-2=31.2 V, step-3=33 V
  say WORDS             more about what is wrong
  note WORDS            a note for the record
  facts packVolts=36    what is known of the car; several with commas
  state wheels=raised   how the car stands now; lifted=main-cable+key-switch, bridged=none
  agreed 180 by phone, Robin   a yes to the remedy found, up to 180 (agreed 0 our own car: nothing to charge)
  root 2 no             why it failed, the second that is asked: yes, no or not-looked
  repaired              the remedy found is done (repaired REMEDY: another one)
  finding               the finding again
  again                 the question again
  close                 close the case
  quit                  leave`

/** A line typed in the terminal, in plain words, to what it means now. Words that are no command are an answer. */
export function readTyped(line: string, teller: Teller): Typed | undefined {
  const text = line.trim()
  if (text === '') return undefined
  const [word = '', ...rest] = text.split(/\s+/)
  const more = rest.join(' ')
  const command = word.toLowerCase()
  const alone = rest.length === 0
  const say = (words: string): Typed => ({ do: 'say', text: words })
  const send = (message: Message): Typed => ({ do: 'send', message })

  if (alone) {
    switch (command) {
      case 'quit':
      case 'exit':
        return { do: 'quit' }
      case 'help':
        return say(COMMANDS)
      case 'again':
        return { do: 'show', show: () => teller.tellAsk() }
      case 'standing':
        return { do: 'show', show: () => teller.tellStanding(Number.POSITIVE_INFINITY) }
      case 'trail':
        return { do: 'show', show: () => teller.tellTrail() }
      case 'finding':
        return { do: 'show', show: () => teller.tellFinding() }
      case 'checks':
        return say(
          teller.ask?.others.length
            ? teller.ask.others.map((o, i) => `  ${i + 1}  ${o.title} (${o.minutes} min)`).join('\n')
            : 'No other check is worth its minutes.',
        )
      case 'why':
        return send({ type: 'why', ...(teller.ask ? { check: teller.ask.check } : {}) })
      case 'skip':
        return teller.ask && teller.ask.kind !== 'complaint'
          ? send({ type: 'answer', answers: [{ check: teller.ask.check, outcome: 'dont-know' }] })
          : say('There is nothing to skip now.')
      case 'close':
        return send({ type: 'close' })
      case 'repaired': {
        const remedy = teller.finding?.remedy
        return remedy
          ? send({ type: 'repaired', remedy: remedy.id })
          : say('Nothing is found yet. If something was repaired all the same, type "repaired" and the remedy\'s id.')
      }
    }
  }
  if (alone && command === 'ok' && teller.waiting[0])
    return send({ type: 'acknowledge', caution: teller.waiting[0].id })
  if (command === 'undo' && (alone || /^\d+$/.test(more))) {
    const trail = teller.noted?.trail ?? []
    const item = alone ? [...trail].sort((a, b) => b.seq - a.seq)[0] : trail[Number(more) - 1]
    if (!item) return say(trail.length === 0 ? 'Nothing is answered yet.' : `The trail has 1 to ${trail.length}.`)
    return send({ type: 'retract', check: item.check })
  }
  if (command === 'why' && /^\d+$/.test(more)) {
    const row = teller.standing?.rows[Number(more) - 1]
    return row ? send({ type: 'why', cause: row.cause }) : say('The standing is shorter than that.')
  }
  if (command === 'pick' && rest.length === 1) {
    if (more === 'none') return send({ type: 'pick', check: null })
    if (!/^\d+$/.test(more)) return send({ type: 'pick', check: more })
    const other = teller.ask?.others[Number(more) - 1]
    return other ? send({ type: 'pick', check: other.check }) : say('Type "checks" to see which there are.')
  }
  if (command === 'agreed' && /^\d/.test(more)) {
    const remedy = teller.finding?.remedy
    const amount = Number(rest[0]!.replace(',', '.'))
    if (!Number.isFinite(amount)) return say('Write the amount as a number: agreed 180 by phone, Robin.')
    if (!remedy) return say('Nothing is found yet that could be agreed to.')
    const who = rest.slice(1).join(' ')
    const way = /phone/i.test(who) ? 'by-phone' : /writ|letter|mail/i.test(who) ? 'in-writing' : 'in-person'
    return send({ type: 'approve', remedies: [remedy.id], upTo: amount, way, ...(who === '' ? {} : { who }) })
  }
  const root = /^root (\d+) (yes|no|not-looked)(?: (.+))?$/i.exec(text)
  if (root) {
    const asked = teller.noted?.askWhy ?? []
    const about = asked[Number(root[1]) - 1]
    if (!about) return say(`Type a number from 1 to ${asked.length}; "finding" lists what is asked.`)
    const found = root[2]!.toLowerCase() as 'yes' | 'no' | 'not-looked'
    return send({ type: 'root-cause', root: about.root, found, ...(root[3] ? { text: root[3] } : {}) })
  }
  if (command === 'repaired' && rest.length === 1) return send({ type: 'repaired', remedy: more })
  if (command === 'note' && !alone) return send({ type: 'tell', text: more })
  if (command === 'say' && !alone) return send({ type: 'say', text: more })
  if (command === 'facts' && more.includes('=')) {
    const facts = readFacts(more)
    return 'problem' in facts ? say(facts.problem) : send({ type: 'facts', facts: facts.facts })
  }
  if (command === 'state' && more.includes('=')) {
    const state = readState(more)
    return 'problem' in state ? say(state.problem) : send({ type: 'car-state', state: state.state })
  }
  const several = readAnswers(text, teller)
  if (several) return send({ type: 'answer', answers: several })
  if (teller.options.length > 0 && /^\d+$/.test(text)) {
    const option = teller.options[Number(text) - 1]
    if (!option) return say(`Type a number from 1 to ${teller.options.length}, or say it in other words.`)
    return teller.optionsFor === undefined
      ? send({ type: 'say', complaints: [option.id] })
      : send({ type: 'answer', answers: [{ check: teller.optionsFor, outcome: option.id }] })
  }
  if (teller.waiting.length > 0)
    return say('Read the caution first, then type "ok". "help" lists what else can be typed.')
  if (!teller.ask) return say('There is no question now. "help" lists what can be typed; "note" keeps a note.')
  if (teller.ask.kind === 'complaint') return send({ type: 'say', text })
  return send({ type: 'answer', answers: [{ check: teller.ask.check, text }] })
}

/** `step-2=31.2 V, step-3=33` to answers; a check of the row asked for may be named by its last part alone. */
function readAnswers(text: string, teller: Teller): { check: string; text: string }[] | undefined {
  if (!/^[a-z0-9-]+(\.[a-z0-9-]+)*\s*=/.test(text)) return undefined
  return text
    .split(/,(?=\s*[a-z0-9.-]+\s*=)/)
    .map((part) => {
      const [name = '', answer = ''] = part.split(/=(.*)/s).map((s) => s.trim())
      const inRow = teller.ask?.row?.find((r) => r.check === name || r.check.endsWith(`.${name}`))
      return { check: inRow?.check ?? name, text: answer }
    })
    .filter((a) => a.check !== '')
}

/** `drive=resistor-contactor,packVolts=36` to car facts, or what is wrong with it. */
export function readFacts(text: string): { facts: CarFacts } | { problem: string } {
  const facts: Record<string, unknown> = {}
  for (const [name, value] of pairs(text)) {
    if (!(name in carFacts.shape)) {
      return { problem: `There is no car fact "${name}". Use one of ${Object.keys(carFacts.shape).join(', ')}.` }
    }
    const schema = carFacts.shape[name as keyof CarFacts]
    const candidates: unknown[] = [value]
    if (value !== '' && Number.isFinite(Number(value))) candidates.push(Number(value))
    if (/^(yes|true)$/i.test(value)) candidates.push(true)
    if (/^(no|false)$/i.test(value)) candidates.push(false)
    const fitting = candidates.find((candidate) => schema.safeParse(candidate).success)
    if (fitting === undefined) {
      return { problem: `The car fact ${name} can't be "${value}".${valuesOf(schema)}` }
    }
    facts[name] = fitting
  }
  return Object.keys(facts).length > 0
    ? { facts: facts as CarFacts }
    : { problem: 'Write car facts as drive=resistor-contactor,packVolts=36.' }
}

/** `wheels=raised, bridged=main-contactor` to a car state, or what is wrong with it. */
export function readState(text: string): { state: CarState } | { problem: string } {
  const state: Record<string, unknown> = {}
  for (const [name, value] of pairs(text)) {
    if (!(name in carState.shape)) {
      return { problem: `The car state has no "${name}". Use one of ${Object.keys(carState.shape).join(', ')}.` }
    }
    const schema = carState.shape[name as keyof CarState]
    const read = name === 'lifted' || name === 'bridged' ? (value === 'none' ? [] : value.split('+')) : value
    if (!schema.safeParse(read).success) return { problem: `${name} can't be "${value}".${valuesOf(schema)}` }
    state[name] = read
  }
  return { state: state as CarState }
}

function pairs(text: string): [string, string][] {
  return text
    .split(/[,\s]+(?=\w+=)|,/)
    .filter((part) => part.trim() !== '')
    .map((part) => {
      const [name = '', value = ''] = part.split(/=(.*)/s)
      return [name.trim(), value.trim()]
    })
}

/** The values that a schema of a fact takes, where it takes a few. */
function valuesOf(schema: { safeParse: (value: unknown) => { error?: { issues: readonly unknown[] } } }): string {
  const issue = schema.safeParse(Symbol.for('none')).error?.issues[0] as
    | { code: string; values?: unknown[]; expected?: string; errors?: { values?: unknown[] }[][] }
    | undefined
  const values = issue?.values ?? issue?.errors?.flatMap((e) => e.flatMap((x) => x.values ?? []))
  if (values && values.length > 0) return ` Use one of ${values.map(String).join(', ')}.`
  return issue?.expected === 'boolean' ? ' Use yes or no.' : ''
}
