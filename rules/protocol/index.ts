export * from './client.ts'
export * from './events.ts'
export * from './server.ts'
