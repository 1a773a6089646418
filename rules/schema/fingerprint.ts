import { sha256 } from '@noble/hashes/sha2.js'
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js'
import canonicalize from 'canonicalize'

/** The texts of an English file that a translation has to follow: `phrases` are each language's own. */
export function readable(file: unknown): Record<string, unknown> | undefined {
  const { text, facts } = file as { text?: Record<string, unknown>; facts?: Record<string, { text: unknown }> }
  if (facts) return Object.fromEntries(Object.entries(facts).map(([name, fact]) => [name, fact.text]))
  if (!text) return undefined
  const { phrases: _, ...rest } = text
  return rest
}

/** Stands for an English text as it is now: SHA-256 of its canonical JSON (RFC 8785), hex, the first 16 characters. */
export function fingerprintOf(file: unknown): string {
  return bytesToHex(sha256(utf8ToBytes(canonicalize(readable(file)) ?? ''))).slice(0, 16)
}
