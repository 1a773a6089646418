/** What asks after the first question, fetched while that is read. */
import '../caution/caution.ts'
import '../check/check.ts'
import '../reading/reading.ts'
