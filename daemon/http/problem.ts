import { STATUS_CODES } from 'node:http'
import type { Socket } from 'node:net'
import type { FastifyError, FastifyReply, FastifyRequest } from 'fastify'
import { hasZodFastifySchemaValidationErrors } from 'fastify-type-provider-zod'
import { Problem } from '../../schemas/api.ts'
import type { Log } from '../ports/log.ts'
import { say } from '../../shared/words/say.ts'

type Issues = NonNullable<Problem['errors']>

/** RFC 9457 §3. `about:blank` (§4.2.1): the title is the status's own phrase and `code` names the case. */
export function problemOf(status: number, code: string, detail: string, errors?: Issues): Problem {
  const title = STATUS_CODES[status] ?? 'Unknown'
  return { type: 'about:blank', title, status, detail, code, ...(errors && { errors }) }
}

export function sendProblem<Reply extends FastifyReply>(reply: Reply, problem: Problem): Reply {
  void reply.code(problem.status).type(problemType).send(JSON.stringify(problem))
  return reply
}

/** Added to every route's answers, for the API document. */
export const problemResponses = {
  '4xx': { description: 'Refused', content: { 'application/problem+json': { schema: Problem } } },
  '5xx': { description: 'Failed', content: { 'application/problem+json': { schema: Problem } } },
}

/** The one error handler: what the asker got wrong is told in full, what we got wrong is logged in full. */
export function errorHandler(log: Log) {
  return (error: FastifyError, request: FastifyRequest, reply: FastifyReply): FastifyReply => {
    if (hasZodFastifySchemaValidationErrors(error)) {
      return sendProblem(reply, problemOf(400, 'invalid', say('The request does not fit.'), issuesOf(error)))
    }
    const status = error.statusCode ?? 500
    if (status >= 400 && status < 500) {
      const [code, detail] = requestFaults[error.code] ?? ['badRequest', say('The request cannot be read.')]
      const { bodyLimit } = request.routeOptions
      const said =
        code === 'bodyTooLarge'
          ? say('The body is larger than {part} KiB.', { part: bodyLimit / 1024 })
          : detail
      return sendProblem(reply, problemOf(status, code, said))
    }
    if (error.name === 'StorageError') {
      log.error({ err: error, method: request.method, route: request.routeOptions.url }, 'the store failed')
      return sendProblem(reply, problemOf(503, 'storeFails', storeFails))
    }
    if (error.name === 'HouseCloses') return sendProblem(reply, problemOf(503, 'closing', closing))
    log.error({ err: error, method: request.method, route: request.routeOptions.url }, 'a request failed')
    return sendProblem(
      reply,
      problemOf(500, 'unexpected', say('Something went wrong here; the log says what.')),
    )
  }
}

/** For what fastify refuses before any route or hook is reached: a path that cannot be decoded or is too long. */
export function frameworkErrors(error: FastifyError, _request: unknown, reply: FastifyReply): void {
  const [code, detail] = requestFaults[error.code] ?? ['badRequest', say('The request cannot be read.')]
  sendProblem(reply, problemOf(error.statusCode ?? 400, code, detail))
}

/** For bytes that are not HTTP, headers over Node's 16 KiB and requests that take too long to arrive. */
export function clientErrorHandler(error: Error & { code?: string }, socket: Socket): void {
  if (error.code === 'ECONNRESET' || socket.destroyed) return
  if (socket.writable) {
    const problem = connectionFaults[error.code ?? ''] ?? problemOf(400, 'notHttp', say('This is not HTTP.'))
    const body = JSON.stringify(problem)
    socket.write(
      `HTTP/1.1 ${problem.status} ${problem.title}\r\nContent-Type: ${problemType}\r\n` +
        `Content-Length: ${Buffer.byteLength(body)}\r\nConnection: close\r\n\r\n${body}`,
    )
  }
  socket.destroy()
}

const storeFails = say('What is kept cannot be read or written just now. Watching and telling go on.')

const closing = say('Brumal closes or is opened anew just now. Ask again in a minute.')

const problemType = 'application/problem+json'

/** A bound on what one answer tells: keys of a hostile body are echoed in zod's messages (X3). */
const mostIssues = 50
const longestMessage = 300

function issuesOf(error: {
  validation: readonly { instancePath: string; message?: string }[]
  validationContext?: string | undefined
}): Issues {
  const where = error.validationContext === 'querystring' ? 'query' : (error.validationContext ?? 'body')
  return error.validation.slice(0, mostIssues).map(({ instancePath, message }) => ({
    path: (where + (instancePath === '/' ? '' : instancePath)).slice(0, longestMessage),
    message: (message ?? 'does not fit').slice(0, longestMessage),
  }))
}

/** fastify's own refusals under our names; every other one is `badRequest`. */
const requestFaults: Readonly<Record<string, readonly [code: string, detail: string]>> = {
  FST_ERR_CTP_BODY_TOO_LARGE: ['bodyTooLarge', say('The body is too large.')],
  FST_ERR_CTP_INVALID_MEDIA_TYPE: ['notJson', say('Send the body as application/json.')],
  FST_ERR_CTP_INVALID_JSON_BODY: ['badJson', say('The body is not JSON.')],
  FST_ERR_CTP_EMPTY_JSON_BODY: ['badJson', say('The body is empty.')],
  notPicture: ['notAPicture', say('Send a picture as image/jpeg, image/png or image/webp.')],
  jsonTooDeep: ['jsonTooDeep', say('The body is nested deeper than 32 levels.')],
  FST_ERR_CTP_INVALID_CONTENT_LENGTH: ['badLength', say('The body is not as long as announced.')],
  FST_ERR_BAD_URL: ['badPath', say('The path cannot be decoded.')],
  FST_ERR_MAX_PARAM_LENGTH: ['pathTooLong', say('A part of the path is too long.')],
}

const connectionFaults: Readonly<Record<string, Problem>> = {
  ERR_HTTP_REQUEST_TIMEOUT: problemOf(408, 'tooSlow', say('The request took too long to arrive.')),
  HPE_HEADER_OVERFLOW: problemOf(431, 'headersTooLarge', say('The headers are larger than 16 KiB.')),
}
