import type { Conversation } from '../../rules/conversation/types.ts'
import type { SourceFile } from '../../rules/schema/parse.ts'
import type { Problem } from '../../rules/schema/problem.ts'

export type Loaded = { conversation: Conversation; problems: [] } | { conversation?: undefined; problems: Problem[] }

/**
 * Reads the knowledge as it is now, checks it, compiles it. Problems come back, they are not thrown.
 *
 * @param own a shop's own files, laid over it
 */
export type Loader = (own?: readonly SourceFile[]) => Promise<Loaded>
