/** `<bench-lamp>` in React 19's JSX: properties as they are called, events as `onbl-finding`. */
import type { DetailedHTMLProps, HTMLAttributes } from 'react'
import type { BenchLamp, BenchLampAttributes, BenchLampEventMap, CarFacts } from './benchlamp.js'

type Listeners = { [K in keyof BenchLampEventMap as `on${K}`]?: (event: BenchLampEventMap[K]) => void }

declare module 'react' {
  namespace JSX {
    interface IntrinsicElements {
      'bench-lamp': DetailedHTMLProps<HTMLAttributes<BenchLamp>, BenchLamp> &
        BenchLampAttributes &
        Listeners & { pass?: string; facts?: CarFacts }
    }
  }
}
