import { readdirSync, readFileSync } from 'node:fs'
import { join, relative } from 'node:path'
import ts from 'typescript'

/** A text that a person reads, by its English key, and where it is said. */
export interface Text {
  readonly key: string
  readonly file: string
  readonly line: number
}

const root = new URL('../..', import.meta.url).pathname
const speakers = new Set(['say', 'sayWith', 'sayCount', 'translated', 'phrase'])

/** Every text that is said in the given rooms, in the order of files and lines. */
export const textsIn = (rooms: readonly string[]): Text[] => filesIn(rooms).flatMap(textsOf)

/** Every literal that reads like prose and is said to nobody through the word list. */
export const bareTextsIn = (rooms: readonly string[]): Text[] => filesIn(rooms).flatMap(bareTextsOf)

function filesIn(rooms: readonly string[]): string[] {
  return rooms.flatMap((room) =>
    readdirSync(join(root, room), { recursive: true, encoding: 'utf8' })
      .filter((name) => /\.tsx?$/.test(name) && !name.endsWith('.d.ts'))
      .map((name) => join(root, room, name))
      .sort(),
  )
}

function textsOf(file: string): Text[] {
  const found: Text[] = []
  const source = parsed(file)
  const visit = (node: ts.Node): void => {
    if (ts.isCallExpression(node) && ts.isIdentifier(node.expression) && speakers.has(node.expression.text)) {
      for (const argument of node.arguments.slice(0, 3)) {
        if (!ts.isStringLiteral(argument) && !ts.isNoSubstitutionTemplateLiteral(argument)) continue
        found.push(textAt(source, argument, argument.text))
      }
    }
    ts.forEachChild(node, visit)
  }
  visit(source)
  return found
}

/** Text between tags, and what stands in attributes that are read: a browser shows it in whatever language it is in. */
function bareTextsOf(file: string): Text[] {
  const found: Text[] = []
  const source = parsed(file)
  const visit = (node: ts.Node): void => {
    if (ts.isJsxText(node) && /\p{L}{2}/u.test(node.text)) found.push(textAt(source, node, node.text.trim()))
    if (ts.isJsxAttribute(node) && readAttributes.has(node.name.getText(source))) {
      const { initializer } = node
      const literal =
        initializer !== undefined && ts.isJsxExpression(initializer) ? initializer.expression : initializer
      if (literal !== undefined && ts.isStringLiteral(literal) && /\p{L}{2}/u.test(literal.text))
        found.push(textAt(source, literal, literal.text))
    }
    ts.forEachChild(node, visit)
  }
  visit(source)
  return found
}

const readAttributes = new Set(['label', 'title', 'heading', 'hint', 'alt', 'placeholder', 'aria-label'])

const textAt = (source: ts.SourceFile, node: ts.Node, key: string): Text => ({
  key,
  file: relative(root, source.fileName),
  line: source.getLineAndCharacterOfPosition(node.getStart(source)).line + 1,
})

function parsed(file: string): ts.SourceFile {
  const kind = file.endsWith('x') ? ts.ScriptKind.TSX : ts.ScriptKind.TS
  return ts.createSourceFile(file, readFileSync(file, 'utf8'), ts.ScriptTarget.Latest, true, kind)
}
