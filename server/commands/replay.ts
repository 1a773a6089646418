import { writeFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { parseArgs } from 'node:util'
import type { StepMessage } from '../../rules/protocol/index.ts'
import { formatProblem } from '../../rules/schema/problem.ts'
import { loadConversation } from '../knowledge/conversation.ts'
import { readTranscript, readTranscripts, TRANSCRIPTS_FOLDER, writeTranscript } from '../replay/files.ts'
import { asExpectation, replay } from '../replay/run.ts'
import { printProblems } from '../run.ts'
import { Teller } from './teller.ts'

const HELP = `npm run --silent replay -- [FILE ...] [--quiet] [--record]

Plays the conversations of transcripts-demo/ (or FILE ...) and fails where one goes otherwise than it says.
  --quiet   only the titles, and what differs
  --record  write what happens into the files as what is expected; read it before you keep it
  --help    this`

function readFlags() {
  try {
    return parseArgs({
      allowPositionals: true,
      options: {
        quiet: { type: 'boolean', default: false },
        record: { type: 'boolean', default: false },
        help: { type: 'boolean', short: 'h', default: false },
      },
    })
  } catch (error) {
    console.error(`${(error as Error).message}\n\n${HELP}`)
    process.exit(2)
  }
}

const { values, positionals } = readFlags()
if (values.help) {
  console.log(HELP)
  process.exit(0)
}
process.stdout.on('error', () => process.exit(0))
const loaded = await loadConversation()
if (!loaded.conversation) {
  printProblems(loaded.problems)
  process.exit(1)
}

let different = 0
let broken = 0
let steps = 0
const files = positionals.length > 0 ? positionals.map((path) => readTranscript(resolve(path))) : readTranscripts()
if (files.length === 0) {
  console.error('There is no conversation in transcripts-demo/ to replay. Put one back, or name a file.')
  process.exit(1)
}
for (const [n, read] of files.entries()) {
  if ('problems' in read) {
    broken++
    for (const problem of read.problems) console.log(formatProblem(problem))
    continue
  }
  const { transcript, file } = read
  console.log(`${n > 0 && !values.quiet ? '\n' : ''}=== ${transcript.title} (${file})`)
  if (transcript.about && !values.quiet) console.log(transcript.about)
  const tellers = {
    customer: new Teller('customer', print),
    technician: new Teller('technician', print),
  }
  const played = await replay(loaded.conversation, transcript)
  tellers[transcript.steps[0]!.from].tell(played.opened)
  for (const [i, step] of played.steps.entries()) {
    steps++
    if (step.step.remark) print(`\n(${step.step.remark})`)
    print(`\n${step.step.from}> ${inWords(step.message)}`)
    tellers[step.step.from].tell(step.replies)
    if (values.record) step.step.expect = asExpectation(step.happened)
    else {
      for (const difference of step.differences) console.log(`  DIFFERS at step ${i + 1}: ${difference}`)
      if (step.differences.length > 0) different++
    }
  }
  if (values.record) {
    const path = positionals.length > 0 ? resolve(positionals[n]!) : join(TRANSCRIPTS_FOLDER, file)
    writeFileSync(path, writeTranscript(transcript))
  }
}
console.log(
  `${values.quiet ? '' : '\n'}${files.length} conversation${files.length === 1 ? '' : 's'}, ${steps} steps: ${
    values.record
      ? 'expectations written, read them before you keep them'
      : different + broken === 0
        ? 'all as expected'
        : `${different} step${different === 1 ? '' : 's'} differ${different === 1 ? 's' : ''}${broken > 0 ? `, ${broken} file${broken === 1 ? '' : 's'} can't be read` : ''}`
  }`,
)
process.exitCode = different + broken > 0 ? 1 : 0

function print(line: string) {
  if (!values.quiet) console.log(line)
}

/** What was sent, as one would say it. */
function inWords(message: StepMessage): string {
  switch (message.type) {
    case 'say':
      return message.text ?? [...(message.complaints ?? []), ...(message.circumstances ?? [])].join(', ')
    case 'answer':
      return message.answers
        .map(({ check, outcome, reading, text }) => {
          const said = text ?? (reading ? `${reading.value} ${reading.unit}` : outcome)
          return `${check}: ${said}`
        })
        .join('; ')
    case 'tell':
      return `note ${message.text}`
    case 'retract':
      return `undo ${message.check}`
    case 'pick':
      return `pick ${message.check ?? 'none'}`
    case 'acknowledge':
      return `ok (${message.caution})`
    case 'why':
      return `why ${message.check ?? message.cause ?? ''}`.trim()
    case 'repaired':
      return `repaired ${message.remedy}`
    case 'facts':
      return `facts ${pairs(message.facts)}`
    case 'car-state':
      return `state ${pairs(message.state)}`
    case 'close':
      return 'close'
    case 'contact':
      return 'name and phone'
    case 'approve':
      return `agreed ${message.remedies.join('+')}, up to ${message.upTo}`
    case 'decline':
      return `declined ${message.remedies.join('+')}`
    case 'root-cause':
      return `root cause ${message.root}: ${message.found}`
    case 'hand-back':
      return message.items.map(({ item, result }) => `${item}: ${result}`).join('; ')
    case 'sign-off':
      return 'sign off'
    case 'meter':
      return `meter ${message.check ?? [message.red, message.black].filter(Boolean).join(' ')}`.trim()
  }
}

function pairs(values: object): string {
  return Object.entries(values)
    .map(([name, value]) => `${name}=${Array.isArray(value) ? value.join('+') || 'none' : value}`)
    .join(',')
}
