import { sha256 } from '@noble/hashes/sha2.js'
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js'
import type { SourceFile } from '../schema/parse.ts'

/**
 * SHA-256 of the knowledge, hex, the first 16 characters: the same files give the same hash, in any order. Texts in
 * other languages are in it: a case is pinned to what was shown.
 */
export function hashOf(files: readonly SourceFile[]): string {
  const h = sha256.create()
  for (const file of [...files].sort((a, b) => (a.path < b.path ? -1 : 1))) {
    h.update(utf8ToBytes(`${file.path}\0${file.text}\0`))
  }
  return bytesToHex(h.digest()).slice(0, 16)
}

/** The hash of what is reasoned with: a translation mended needs no new tables. */
export const reasoningHashOf = (files: readonly SourceFile[]): string =>
  hashOf(files.filter((f) => !f.path.startsWith('texts/')))
