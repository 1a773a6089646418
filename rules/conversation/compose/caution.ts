import type { CautionBody, Role } from '../../protocol/index.ts'
import type { CautionFile } from '../../schema/knowledge.ts'

export function cautionBody(c: CautionFile, role: Role, acknowledged: ReadonlySet<string>): CautionBody {
  const plain = role === 'customer' ? c.text.plain : undefined
  return {
    id: c.id,
    signal: c.signal,
    hazard: plain ?? c.text.hazard,
    act: plain ? [] : [...c.text.act],
    acknowledge: c.acknowledge,
    acknowledged: acknowledged.has(c.id),
    source: c.source,
  }
}

/** Those that hold the check back until they are acknowledged. */
export function holdingBack(cautions: readonly CautionFile[], acknowledged: ReadonlySet<string>): CautionFile[] {
  return cautions.filter((c) => c.acknowledge && !acknowledged.has(c.id))
}
