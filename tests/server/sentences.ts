import { readFileSync } from 'node:fs'
import { parseAst } from 'vite'

export interface Node {
  type: string
  [key: string]: unknown
}
const isNode = (value: unknown): value is Node =>
  typeof value === 'object' && value !== null && typeof (value as Node).type === 'string'

/** Every node of a source file. */
function* nodesIn(value: unknown): Generator<Node> {
  if (Array.isArray(value)) for (const one of value) yield* nodesIn(one)
  else if (isNode(value)) {
    yield value
    for (const child of Object.values(value)) yield* nodesIn(child)
  }
}

export const nodesOf = (file: string): Node[] => [...nodesIn(parseAst(readFileSync(file, 'utf8'), { lang: 'ts' }))]

/** What an expression may say, `{}` for what is only known when it is said; nothing where it says no words of its own. */
export function sentencesOf(value: unknown): string[] {
  if (!isNode(value)) return []
  switch (value.type) {
    case 'Literal':
      return typeof value.value === 'string' ? [value.value] : []
    case 'ConditionalExpression':
      return [...sentencesOf(value.consequent), ...sentencesOf(value.alternate)]
    case 'LogicalExpression':
      return [...sentencesOf(value.left), ...sentencesOf(value.right)]
    case 'TemplateLiteral': {
      const quasis = value.quasis as { value: { cooked: string } }[]
      return (value.expressions as Node[]).reduce(
        (said, expression, i) =>
          said.flatMap((before) =>
            valuesOf(expression).map((filled) => `${before}${filled}${quasis[i + 1]!.value.cooked}`),
          ),
        [quasis[0]!.value.cooked],
      )
    }
    default:
      return []
  }
}

/** A choice of words in the middle of a sentence is part of it; everything else is filled in. */
function valuesOf(expression: Node): string[] {
  const { type, consequent, alternate, left, right } = expression
  if (type === 'ConditionalExpression') return [consequent, alternate].flatMap((one) => valuesOf(one as Node))
  if (type === 'LogicalExpression') return [left, right].flatMap((one) => valuesOf(one as Node))
  const said = sentencesOf(expression)
  if (said.length > 0) return said
  // In say-issue.ts: the name of a field, in quotes. That a whole message is wrong is said to programs.
  return isNamed(expression) ? ['"{}"'] : ['{}']
}

function isNamed({ type, name, callee, arguments: given }: Node): boolean {
  if (type === 'CallExpression') return (callee as Node).name === 'capital' && isNamed((given as Node[])[0]!)
  return type === 'Identifier' && name === 'named'
}
