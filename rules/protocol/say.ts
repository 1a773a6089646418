import { PROTOCOL_VERSION } from './client.ts'
import type { ErrorCode, RefusalCode, ServerMessage } from './server.ts'

interface About {
  re?: string
  case?: string
  seq?: number
  field?: string
}

/** An `error` of the protocol: what was wrong, and what to do. */
export function errorMessage(code: ErrorCode, text: string, mend: string, about: About = {}): ServerMessage {
  return { v: PROTOCOL_VERSION, type: 'error', code, text, mend, ...given(about) }
}

/** A `refused` of the protocol, for what the conversation's own step does not decide. */
export function refusedMessage(code: RefusalCode, text: string, mend: string, about: About = {}): ServerMessage {
  return { v: PROTOCOL_VERSION, type: 'refused', code, text, mend, ...given(about) }
}

function given(about: About): About {
  return Object.fromEntries(Object.entries(about).filter(([, value]) => value !== undefined))
}
