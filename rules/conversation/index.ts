export { createConversation } from './conversation.ts'
export type { Caller, CaseRecord, Conversation, Outside, StepResult } from './types.ts'
