import { posix } from 'node:path'
import ts from 'typescript'

/** A source file by its path from the top of the repository, and its text. */
export interface SourceFile {
  readonly path: string
  readonly text: string
}

interface Room {
  readonly name: string
  readonly holds: (path: string) => boolean
  /** Beginnings of paths in the repository that it may import; its own folder is always among them. */
  readonly own: readonly string[]
  readonly packages: readonly string[] | 'any'
  readonly mayUseNode: boolean
}

const everything = ['schemas/', 'shared/', 'daemon/']
const adapter = (name: string, packages: readonly string[]): Room => ({
  name: `daemon/${name}`,
  holds: (path) => path.startsWith(`daemon/${name}/`),
  // what an adapter says to people goes through the word list like every other text
  own: [
    'schemas/',
    'shared/words/say.ts',
    'shared/words/choice-words.ts',
    'daemon/ports/',
    `daemon/${name}/`,
  ],
  packages,
  mayUseNode: true,
})

/** The table of rooms in DEVELOPERS.md. The first room that holds a file is the file's. */
const rooms: readonly Room[] = [
  {
    name: 'schemas',
    holds: (path) => path.startsWith('schemas/'),
    own: ['schemas/'],
    packages: ['zod'],
    mayUseNode: false,
  },
  {
    name: 'shared',
    holds: (path) => path.startsWith('shared/'),
    own: ['schemas/', 'shared/'],
    packages: [],
    mayUseNode: false,
  },
  {
    name: 'daemon/ports',
    holds: (path) => path.startsWith('daemon/ports/'),
    own: ['schemas/', 'daemon/ports/'],
    packages: [],
    mayUseNode: false,
  },
  {
    name: 'daemon/app',
    holds: (path) => path.startsWith('daemon/app/'),
    own: ['schemas/', 'shared/', 'daemon/ports/', 'daemon/app/'],
    packages: [],
    mayUseNode: false,
  },
  adapter('mqtt', ['aedes', 'mqtt', 'cborg', 'zod']),
  adapter('sqlite', ['better-sqlite3', 'zod']),
  adapter('http', ['fastify', '@fastify/*', 'fastify-type-provider-zod', 'zod']),
  adapter('notify', ['web-push', 'nodemailer', 'zod']),
  adapter('host', ['pino', 'fastify']),
  {
    name: 'daemon/practice',
    holds: (path) => path.startsWith('daemon/practice/'),
    own: ['schemas/', 'shared/', 'daemon/ports/', 'daemon/practice/'],
    packages: ['mqtt', 'zod'],
    mayUseNode: true,
  },
  {
    name: 'daemon/cli',
    holds: (path) => /^daemon\/(?:cli\/|main\/|main\.ts$)/.test(path),
    own: everything,
    packages: 'any',
    mayUseNode: true,
  },
  {
    name: 'web build',
    holds: (path) => path === 'web/vite.config.ts',
    own: [],
    packages: ['vite'],
    mayUseNode: true,
  },
  {
    name: 'web',
    holds: (path) => path.startsWith('web/'),
    own: ['schemas/', 'shared/', 'web/'],
    packages: ['preact', 'preact/*', '@preact/signals', 'uplot', 'uplot/*'],
    mayUseNode: false,
  },
]

/** Every import that its room does not allow, and everything impure in `shared/`, one sentence each. */
export function breaches(files: readonly SourceFile[]): string[] {
  return files.flatMap((file) => {
    const room = rooms.find(({ holds }) => holds(file.path))
    if (room === undefined) return [`${file.path} is in no room`]
    const source = parse(file)
    const imports = importsOf(source).flatMap((from) => breachOf(room, file.path, from))
    return [...imports, ...(room.name === 'shared' ? impurities(source) : [])]
  })
}

/** Each ring of files that import one another, types too, as `a → b → a`. */
export function cycles(files: readonly SourceFile[]): string[] {
  const paths = new Set(files.map(({ path }) => path))
  const edges = new Map(
    files.map((file) => [
      file.path,
      importsOf(parse(file))
        .filter((from) => from.startsWith('.'))
        .map((from) => resolved(file.path, from))
        .filter((path) => paths.has(path)),
    ]),
  )
  const found: string[] = []
  const done = new Set<string>()
  const visit = (path: string, way: readonly string[]): void => {
    const start = way.indexOf(path)
    if (start >= 0) found.push([...way.slice(start), path].join(' → '))
    if (start >= 0 || done.has(path)) return
    for (const next of edges.get(path) ?? []) visit(next, [...way, path])
    done.add(path)
  }
  for (const path of edges.keys()) visit(path, [])
  return found
}

function breachOf(room: Room, path: string, from: string): string[] {
  const no = (why: string): string[] => [`${path} imports ${from}: ${why}`]
  if (from.startsWith('node:')) return room.mayUseNode ? [] : no(`${room.name} may not use Node`)
  if (!from.startsWith('.')) {
    const isAllowed =
      room.packages === 'any' ||
      room.packages.some((name) => (name.endsWith('/*') ? from.startsWith(name.slice(0, -1)) : from === name))
    return isAllowed ? [] : no(`${room.name} may not use this package`)
  }
  const target = resolved(path, from)
  return room.own.some((start) => target.startsWith(start)) ? [] : no(`${room.name} may not see it`)
}

/** What makes a function give different answers to the same question. */
function impurities(source: ts.SourceFile): string[] {
  const found: string[] = []
  const say = (node: ts.Node, what: string): void => {
    const { line } = source.getLineAndCharacterOfPosition(node.getStart(source))
    found.push(`${source.fileName}:${line + 1} uses ${what}`)
  }
  const look = (node: ts.Node): void => {
    if (ts.isPropertyAccessExpression(node) && impureMembers.has(node.getText(source))) {
      say(node, node.getText(source))
    }
    if (ts.isNewExpression(node) && node.expression.getText(source) === 'Date' && !node.arguments?.length) {
      say(node, 'new Date()')
    }
    if (ts.isCallExpression(node) && node.expression.getText(source) === 'Date') say(node, 'Date()')
    if (node.kind === ts.SyntaxKind.AsyncKeyword) say(node, 'async')
    if (ts.isIdentifier(node) && impureNames.has(node.text) && isFree(node)) say(node, node.text)
    ts.forEachChild(node, look)
  }
  look(source)
  return found
}

const impureMembers = new Set(['Date.now', 'Math.random', 'performance.now', 'crypto.getRandomValues'])
const impureNames = new Set([
  'setTimeout',
  'setInterval',
  'setImmediate',
  'queueMicrotask',
  'process',
  'fetch',
  'globalThis',
  'Promise',
])

/** False for a name that stands for something else: `x.process`, `{ process: 1 }`. */
function isFree(node: ts.Identifier): boolean {
  const { parent } = node
  if (ts.isPropertyAccessExpression(parent)) return parent.expression === node
  return !(
    ts.isPropertyAssignment(parent) ||
    ts.isPropertySignature(parent) ||
    ts.isMethodSignature(parent) ||
    ts.isTypeReferenceNode(parent)
  )
}

const parse = ({ path, text }: SourceFile): ts.SourceFile =>
  ts.createSourceFile(path, text, ts.ScriptTarget.Latest, true)

/** Whatever a file imports: `import`, `export … from`, `import()` and `import('…').Type`. */
function importsOf(source: ts.SourceFile): string[] {
  const found: string[] = []
  const look = (node: ts.Node): void => {
    let from: ts.Node | undefined
    if (ts.isImportDeclaration(node) || ts.isExportDeclaration(node)) from = node.moduleSpecifier
    if (ts.isCallExpression(node) && node.expression.kind === ts.SyntaxKind.ImportKeyword) {
      from = node.arguments[0]
      if (!from || !ts.isStringLiteralLike(from)) found.push('(an address worked out at run time)')
    }
    if (ts.isImportTypeNode(node) && ts.isLiteralTypeNode(node.argument)) from = node.argument.literal
    if (from && ts.isStringLiteralLike(from)) found.push(from.text)
    ts.forEachChild(node, look)
  }
  look(source)
  return found
}

const resolved = (path: string, from: string): string => posix.join(posix.dirname(path), from)
