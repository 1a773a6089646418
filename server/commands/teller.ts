import type { AskBody, CautionBody, FindingBody, Noted, ServerMessage, Standing } from '../../rules/protocol/index.ts'

const percent = (p: number) => (p >= 0.995 ? '>99 %' : p < 0.005 ? '<1 %' : `${Math.round(p * 100)} %`)

/** A conversation as plain lines of text, each thing said once: what is still so is not repeated at every turn. */
export class Teller {
  readonly #role: 'customer' | 'technician'
  readonly #write: (line: string) => void
  #cautions = new Map<string, boolean>()
  #finding = 'null'
  #reminders = ''
  #ask = ''
  /** the newest of each, for commands that look at them */
  ask: AskBody | null = null
  standing: Standing | undefined
  noted: Noted | undefined
  finding: FindingBody | null = null
  /** waiting to be acknowledged, gravest first */
  waiting: CautionBody[] = []
  /** offered after words that were not understood */
  options: { id: string; name: string; plain: string }[] = []
  optionsFor: string | undefined

  constructor(role: 'customer' | 'technician', write: (line: string) => void) {
    this.#role = role
    this.#write = write
  }

  tell(messages: readonly ServerMessage[]): void {
    if (messages.some((m) => m.type === 'noted' || m.type === 'understood')) this.options = []
    for (const message of messages) this.#tell(message)
  }

  #tell(message: ServerMessage): void {
    const write = this.#write
    switch (message.type) {
      case 'opened':
        write(`${message.shop.name} · case ${message.code}${message.tag ? ` · car ${message.tag}` : ''}`)
        break
      case 'understood':
        this.options = message.options
        this.optionsFor = message.check
        if (!message.sure) {
          write(message.text)
          this.offer()
        }
        break
      case 'noted': {
        this.noted = message
        if (message.say) write(message.say)
        const reminders = message.reminders.join('\n')
        if (reminders !== this.#reminders) {
          for (const reminder of message.reminders) write(`Mind: ${reminder}`)
          this.#reminders = reminders
        }
        break
      }
      case 'caution': {
        this.waiting = message.cautions.filter((c) => c.acknowledge && !c.acknowledged)
        const before = this.#cautions
        this.#cautions = new Map(message.cautions.map((c) => [c.id, c.acknowledged]))
        for (const caution of message.cautions) if (!before.has(caution.id)) this.#caution(caution)
        if (message.stop) write('STOP. No check until this is settled.')
        break
      }
      case 'standing': {
        const changed =
          this.standing?.rows.map((r) => r.cause + percent(r.p)).join() !==
          message.rows.map((r) => r.cause + percent(r.p)).join()
        this.standing = message
        if (!changed) break
        if (this.#role === 'customer') write(message.lamp.say)
        else this.tellStanding(3)
        break
      }
      case 'finding': {
        this.finding = message.finding
        const said = JSON.stringify(message.finding)
        if (said === this.#finding) break
        this.#finding = said
        if (message.finding) this.tellFinding()
        else write('The finding from before no longer holds.')
        break
      }
      case 'ask': {
        this.ask = message.ask
        const said = JSON.stringify(message.ask ?? message.because ?? '')
        if (said === this.#ask) break
        this.#ask = said
        write('')
        if (message.ask) this.tellAsk()
        else if (message.because) write(message.because)
        if (this.waiting.length > 0) write('Type "ok" when you have read and done this.')
        break
      }
      case 'because':
        for (const line of message.say) write(line)
        break
      case 'meter':
        for (const r of message.meter.readings) write(`${r.name}: ${r.said}`)
        for (const line of message.meter.pictures.circuit?.say ?? []) write(line)
        break
      case 'refused':
      case 'error':
        write(`Not taken: ${message.text} ${message.mend}`)
        break
    }
  }

  #caution(caution: CautionBody): void {
    this.#write(`${caution.signal}: ${caution.hazard}`)
    for (const act of caution.act) this.#write(`  - ${act}`)
  }

  /** The current question whole. */
  tellAsk(): void {
    const ask = this.ask
    if (!ask) return
    const write = this.#write
    for (const caution of ask.cautions) {
      if (this.#cautions.has(caution.id)) continue
      this.#cautions.set(caution.id, caution.acknowledged)
      this.#caution(caution)
    }
    write(ask.title)
    if (ask.setUp.length > 0) write(`  First: ${ask.setUp.join('; ')}.`)
    for (const [i, line] of ask.how.entries()) write(`  ${i + 1}. ${line}`)
    if (ask.probes) write(`  Red probe: ${ask.probes.red.label}. Black probe: ${ask.probes.black.label}.`)
    if (ask.hint) write(`  ${ask.hint}`)
    if (ask.good) write(`  Good: ${ask.good}`)
    if (ask.reading) {
      const { unit, min, max, said } = ask.reading
      if (said) write(`  ${said}`)
      write(`  Reading in ${unit}, ${min} to ${max}.`)
    }
    if (ask.row) {
      // The last part of a check's id is what tells the row's checks apart.
      const names = ask.row.map((r) => r.check.split('.').at(-1)!)
      write(`  Several at once: ${names.map((name) => `${name}=…`).join(', ')}`)
    }
    if (ask.outcomes.length > 0) {
      write(`  Answer: ${ask.outcomes.map((o) => (o.small ? `${o.label} (${o.small})` : o.label)).join(' / ')}`)
    }
    if (this.#role === 'technician' && ask.kind !== 'complaint') write(`  (${ask.reason})`)
  }

  offer(): void {
    this.options.forEach((option, i) => {
      this.#write(`  ${i + 1}  ${option.plain === option.name ? option.name : `${option.name}: ${option.plain}`}`)
    })
    if (this.options.length > 0) this.#write('Type a number of these, or say it in other words.')
  }

  /** @param most rows; the rest in one line */
  tellStanding(most: number): void {
    const standing = this.standing
    if (!standing) return
    const rows = standing.rows.slice(0, most)
    for (const row of rows) this.#write(`  ${percent(row.p).padStart(5)}  ${row.name}`)
    const rest = standing.rows.slice(most)
    const count = rest.length + standing.others.count
    const p = rest.reduce((sum, row) => sum + row.p, standing.others.p)
    if (count > 0) this.#write(`  ${percent(p).padStart(5)}  ${count} other${count === 1 ? '' : 's'}`)
    if (standing.disagreement) this.#write(standing.disagreement.say)
  }

  tellFinding(): void {
    const finding = this.finding
    if (!finding) {
      this.#write('Nothing is found yet.')
      return
    }
    const write = this.#write
    write('')
    write(finding.sure && finding.kind !== 'hand-over' ? `Found: ${finding.title}` : finding.title)
    write(`  ${finding.say}`)
    for (const e of finding.evidence) {
      write(
        `  ${e.weight === 'against' ? 'against' : e.weight === 'strong' ? 'strongly for' : 'for'}: ${e.question} ${e.answer}`,
      )
    }
    if (finding.remedy && this.#role === 'technician') {
      const { name, steps, minutes, part, low, high, cautions } = finding.remedy
      write(`Remedy: ${name} (${minutes} min; ${part}, ${low} to ${high})`)
      for (const caution of cautions) this.#caution(caution)
      for (const [i, step] of steps.entries()) write(`  ${i + 1}. ${step}`)
      if (finding.proof) write(`  Then prove it: ${finding.proof.title}`)
      finding.rootCauses.forEach((cause, i) => {
        const at = (this.noted?.askWhy ?? []).findIndex((x) => x.root === cause.id)
        write(`  ${at < 0 ? i + 1 : at + 1}  Why did it fail? ${cause.name}: ${cause.ask}`)
      })
      write('Type "agreed" and an amount when there is a yes, "repaired" when it is done.')
    }
    for (const line of finding.until) write(`  Until then: ${line}`)
    if (this.#role === 'customer') write(`Give the technician this code: ${finding.code}`)
  }

  tellTrail(): void {
    const trail = this.noted?.trail ?? []
    if (trail.length === 0) this.#write('Nothing is answered yet.')
    trail.forEach((item, i) => {
      this.#write(`  ${i + 1}  ${item.question} ${item.answer}${item.doubted ? '  (fits least)' : ''}`)
    })
  }
}
