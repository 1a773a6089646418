export * from './client.ts'
export * from './events.ts'
export type { BlockBars, CircuitPicture, MeterBody, PaperPictures, Pictures, StepPlot } from './meter.ts'
export * from './server.ts'
