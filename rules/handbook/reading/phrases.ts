/** What can stand around a number, and what it says. All in small letters. */

export const ABOUT = new Set([
  'about',
  'approx',
  'approximately',
  'around',
  'roughly',
  'nearly',
  'almost',
  'ca',
  'circa',
  'maybe',
  'some',
  'say',
  'ish',
  'probably',
  'slightly',
  'just',
  '~',
  '≈',
])

/** Two words first. After "just" or "a bit" they only mean "about". */
export const MORE = ['more than', 'greater than', 'higher than', 'at least', 'over', 'above', '>', '≥'] as const
export const LESS = ['less than', 'lower than', 'at most', 'no more than', 'up to', 'under', 'below', '<', '≤'] as const

/** "31 to 32", "31-32", "31…32", "between 31 and 32". */
export const RANGE_MARKS = new Set(['to', 'till', 'through', 'or', '-', '…', '..', '...'])

export const NEGATIONS = new Set(['not', 'isnt', 'wasnt', 'doesnt', 'didnt', 'never', 'cant', 'cannot', 'dont'])

/** Words that may follow a number without being taken for its unit. */
export const FILLERS = new Set([
  'at',
  'on',
  'the',
  'a',
  'an',
  'it',
  'is',
  'was',
  'with',
  'when',
  'while',
  'and',
  'across',
  'from',
  'of',
  'for',
  'by',
  'reading',
  'reads',
  'read',
  'here',
  'there',
  'now',
  'then',
  'but',
  'if',
  'after',
  'before',
  'between',
  'to',
  'or',
  'steady',
  'exactly',
  'ac',
  'dc',
  'only',
  'each',
  'i',
  'we',
  'got',
  'get',
])

/** What a meter shows, or a person says, for "more than I can show". */
export const OVER_RANGE =
  /^(o\.?\s?l\.?|0\.?l\.?|overload|over ?limit|over ?range|out of range|infinite|infinity|inf|∞|open|open (circuit|line)|no continuity)$/
export const ZERO_WORDS = /^(dead|nothing|none|nil|no (volts?|voltage|current|amps?|power|feed|juice))$/
export const SHORT_WORDS = /^(dead short|short|shorted|short circuit|straight through|full continuity)$/
export const DONT_KNOW = /^(i )?(dont know|do not know|not sure|no idea|unknown|idk|n\/?a|\?+|skip|pass)$/

/** Between a number and its unit: "20 or so amps". */
export const LOOSE_ENDS = ['or so', 'ish', 'odd', 'or thereabouts', 'something'] as const

/** A number right after one of these names a place or a part. */
export const LABELS = new Set([
  'step',
  'steps',
  'block',
  'battery',
  'cell',
  'contactor',
  'solenoid',
  'terminal',
  'pin',
  'position',
  'button',
  'fuse',
  'number',
  'no',
  'car',
  'resistor',
  'relay',
  'diode',
  'post',
  '#',
])
