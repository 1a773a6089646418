import type { ExplainedFile } from '../schema/knowledge.ts'

/** Whether the knowledge says that its circuit does not show this cause at this check as the car does. */
export function isExplained(explained: readonly ExplainedFile[], cause: string | undefined, check: string): boolean {
  return explained.some((e) => speaksOf(e, cause, check))
}

/** Whether a file of explained/ is about a cause (undefined: a sound car) at a check. */
export function speaksOf(e: ExplainedFile, cause: string | undefined, check: string): boolean {
  return (e.cause === '*' || e.cause === cause) && (e.check === '*' || e.check === check)
}
