/** What is drawn of a check, fetched with the first drawing. */
import '../schematic/schematic.ts'
import '../step-plot/step-plot.ts'
