import type { FindingBody, Noted, Opened } from '../../../rules/protocol/index.ts'
import type { Translate } from '../../texts/translate.ts'
import { rangeOf } from '../part.ts'

/** The finding as plain text, for a work order, a message or the clipboard. */
export function noteOf(
  finding: FindingBody,
  noted: Noted | undefined,
  opened: Opened | undefined,
  t: Translate,
  currency?: string,
): string {
  const lines = [
    [t('job', { code: finding.code }), noted?.tag ?? opened?.tag, noted?.complaint].filter(Boolean).join(' · '),
    '',
    finding.title,
    finding.say,
  ]
  const list = (heading: string, items: string[]) => {
    if (items.length > 0) lines.push('', heading, ...items.map((i) => `- ${i}`))
  }
  list(
    t('evidence'),
    finding.evidence.map((e) => `${e.question} ${e.answer} (${t(`weight-${e.weight}`)})`),
  )
  list(
    t('root-causes'),
    finding.rootCauses.map((r) => `${r.name}: ${r.ask}`),
  )
  const { remedy } = finding
  if (remedy) {
    list(
      `${t('remedy')}: ${remedy.name} (${t('minutes', { n: remedy.minutes })}; ${remedy.part}, ${rangeOf(remedy.low, remedy.high, t('locale'), currency)})`,
      remedy.steps,
    )
  }
  if (finding.proof) lines.push('', `${t('proof')}: ${finding.proof.title}`)
  list(t('until'), finding.until)
  return lines.join('\n')
}
