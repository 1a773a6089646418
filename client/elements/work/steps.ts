import type { FindingBody, Noted } from '../../../rules/protocol/index.ts'

/** The way from a finding to the closed card, in the order in which it is gone. */
export const STEPS = ['approve', 'why', 'repair', 'proof', 'hand-back', 'sign-off', 'close'] as const
export type Step = (typeof STEPS)[number]
export type ToDoItem = NonNullable<Noted['toDo']>[number]

export interface Job {
  /** where the job stands; undefined where nothing of it is due yet */
  now?: Step
  done: ReadonlySet<Step>
  /** found or agreed to, and not repaired yet */
  pending: { remedy: string; name: string }[]
}

/** In which step what is still to do is done. */
export const STEP_OF: Record<ToDoItem['what'], Step> = {
  approve: 'approve',
  'root-cause': 'why',
  proof: 'proof',
  bridge: 'hand-back',
  lead: 'hand-back',
  'hand-back': 'hand-back',
}

/** Is there anything of the commercial side to show? */
export const hasJob = (noted: Noted | undefined, finding: FindingBody | null | undefined): boolean =>
  finding?.remedy !== undefined ||
  (noted?.repaired.length ?? 0) > 0 ||
  Boolean(noted?.work?.approved.length || noted?.work?.declined.length || noted?.work?.signedOff)

export function jobOf(noted: Noted | undefined, finding: FindingBody | null | undefined): Job {
  const work = noted?.work
  const toDo = noted?.toDo ?? []
  const repaired = new Set((noted?.repaired ?? []).map((r) => r.remedy))
  const agreed = new Map(
    (work?.approved ?? []).filter((a) => a.inForce).flatMap((a) => a.remedies.map((r) => [r.remedy, r.name])),
  )
  const lastNo = (id: string) =>
    Math.max(-1, ...(work?.declined ?? []).filter((d) => d.remedies.some((r) => r.remedy === id)).map((d) => d.seq))
  const lastYes = (id: string) =>
    Math.max(-1, ...(work?.approved ?? []).filter((a) => a.remedies.some((r) => r.remedy === id)).map((a) => a.seq))
  const refused = (id: string) => lastNo(id) > lastYes(id)
  const pending = new Map<string, string>()
  const found = finding?.remedy
  if (found && !repaired.has(found.id) && !refused(found.id)) pending.set(found.id, found.name)
  for (const [id, name] of agreed) if (!repaired.has(id) && !refused(id)) pending.set(id, name)

  const open = new Set(toDo.map((x) => STEP_OF[x.what]))
  const done = new Set<Step>()
  const answered = new Set(work?.rootCauses.map((r) => r.root))
  const anyWord = Boolean(work?.approved.length || work?.declined.length)
  if (anyWord && !open.has('approve')) done.add('approve')
  if (answered.size > 0 && (noted?.askWhy ?? []).every((x) => answered.has(x.root))) done.add('why')
  if (repaired.size > 0 && pending.size === 0) done.add('repair')
  if (repaired.size > 0 && !open.has('proof')) done.add('proof')
  if (work?.handBack.every((i) => i.result) && !open.has('hand-back')) done.add('hand-back')
  if (work?.signedOff) done.add('sign-off')
  const job = { done, pending: [...pending].map(([remedy, name]) => ({ remedy, name })) }
  if (noted?.status === 'closed') return { ...job, done: new Set([...done, 'close']) }
  const now = open.has('approve')
    ? 'approve'
    : open.has('why')
      ? 'why'
      : pending.size > 0
        ? 'repair'
        : open.has('proof')
          ? 'proof'
          : open.has('hand-back')
            ? 'hand-back'
            : repaired.size > 0 && !work?.signedOff
              ? 'sign-off'
              : anyWord || repaired.size > 0
                ? 'close'
                : undefined
  return now === undefined ? job : { ...job, now }
}
