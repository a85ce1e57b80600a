import { isMap, isNode, isScalar, LineCounter, parseDocument } from 'yaml'

/** A mistake in a document: where in it (`http.port`, empty for the whole), on which line of the file, and what. */
export interface Mistake {
  readonly path: string
  readonly line?: number
  readonly message: string
}

export type YamlRead =
  | { readonly ok: true; readonly value: unknown; readonly lineOf: (path: readonly PropertyKey[]) => number }
  | { readonly ok: false; readonly mistakes: readonly Mistake[] }

/** Reads YAML 1.2 with every syntax mistake listed. An empty document is `undefined`. Lines count from 1. */
export function readYaml(text: string, maxBytes: number): YamlRead {
  if (Buffer.byteLength(text) > maxBytes) {
    return { ok: false, mistakes: [{ path: '', message: `is longer than ${maxBytes} bytes` }] }
  }
  const lines = new LineCounter()
  const document = parseDocument(text, { lineCounter: lines, prettyErrors: false })
  if (document.errors.length > 0) {
    const mistakes = document.errors.map(({ pos, message }) => ({
      path: '',
      line: lines.linePos(pos[0]).line,
      message: message.replace(/\s+/g, ' '),
    }))
    return { ok: false, mistakes }
  }

  /** The line of the deepest part of the path that the file has. */
  const lineOf = (path: readonly PropertyKey[]): number => {
    for (let length = path.length; length > 0; length--) {
      const last = path[length - 1]
      const parent = document.getIn(path.slice(0, length - 1), true)
      if (isMap(parent)) {
        const key = parent.items.find(({ key }) => isScalar(key) && key.value === last)?.key
        if (isScalar(key) && key.range) return lines.linePos(key.range[0]).line
      }
      const node = document.getIn(path.slice(0, length), true)
      if (isNode(node) && node.range) return lines.linePos(node.range[0]).line
    }
    return 1
  }
  try {
    return { ok: true, value: document.contents === null ? undefined : document.toJS(), lineOf }
  } catch (error) {
    // The parser's guard against aliases that multiply (a few lines that unfold into millions).
    return {
      ok: false,
      mistakes: [{ path: '', message: error instanceof Error ? error.message : String(error) }],
    }
  }
}
