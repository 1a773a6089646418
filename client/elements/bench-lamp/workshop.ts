/** What only a technician needs, fetched once it is known that there is one. */
import '../car-state/car-state.ts'
import '../finding/finding.ts'
import '../intake/intake.ts'
import '../notes/notes.ts'
import '../photos/photos.ts'
import '../row-entry/row-entry.ts'
import '../standing/standing.ts'
import '../start/start.ts'
import '../trail/trail.ts'
import '../work/contact.ts'
import '../work/work.ts'

export { benchStyles } from './bench.styles.ts'
