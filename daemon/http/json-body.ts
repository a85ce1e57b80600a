import type { FastifyInstance } from 'fastify'

/** Deepest nesting of a body. The deepest schema (a sensor's decoder fields) needs 4 levels. */
export const deepestJson = 32

/** Takes JSON bodies and no others. An empty body is no body: the route's schema says whether it needs one. */
export function takeJsonBodiesOnly(app: FastifyInstance): void {
  const parse = app.getDefaultJsonParser('error', 'error') // refuses __proto__ and constructor.prototype keys
  app.removeAllContentTypeParsers()
  app.addContentTypeParser('application/json', { parseAs: 'string' }, (request, body, done) => {
    const text = body as string
    if (text === '') return done(null, undefined)
    if (depthOf(text) > deepestJson) return done(tooDeep())
    void parse(request, text, done)
  })
}

/** Nesting of brackets outside strings, read before anything is built from it. */
export function depthOf(json: string): number {
  let depth = 0
  let deepest = 0
  let inString = false
  for (let i = 0; i < json.length; i++) {
    const char = json.charCodeAt(i)
    if (inString) {
      if (char === backslash) i++
      else if (char === quote) inString = false
    } else if (char === quote) inString = true
    else if (char === openBracket || char === openBrace) deepest = Math.max(deepest, ++depth)
    else if (char === closeBracket || char === closeBrace) depth--
  }
  return deepest
}

const [quote, backslash, openBracket, closeBracket, openBrace, closeBrace] = [34, 92, 91, 93, 123, 125]

const tooDeep = () => Object.assign(new Error('nested too deep'), { statusCode: 400, code: 'jsonTooDeep' })
