/** The one script: `<script type="module" src="…/benchlamp.js"></script>` and `<bench-lamp shop="…"></bench-lamp>`. */
export { BenchLamp } from './elements/bench-lamp/bench-lamp.ts'
