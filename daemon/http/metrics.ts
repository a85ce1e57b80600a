import type { FastifyInstance } from 'fastify'
import type { ZodTypeProvider } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Desk } from '../ports/desk.ts'

/**
 * Everything that is measured, for a program that scrapes it: signed in, or with an access token that may look. At the
 * path that such programs ask by themselves.
 */
export async function metricsRoutes(plain: FastifyInstance, { desk }: { desk: Desk }): Promise<void> {
  const app = plain.withTypeProvider<ZodTypeProvider>()
  app.get(
    '/metrics',
    {
      schema: {
        tags: ['metrics'],
        summary: 'Everything that is measured, in OpenMetrics or the older Prometheus text format',
        querystring: z.strictObject({}),
        response: { 200: z.string() },
      },
      // What comes is text already.
      serializerCompiler: () => String,
    },
    async (request, reply) => {
      const exposition = wanted(request.headers.accept)
      void reply.header('cache-control', 'no-store').header('vary', 'accept').type(types[exposition])
      return desk.metrics(exposition)
    },
  )
}

const types = {
  openMetrics: 'application/openmetrics-text; version=1.0.0; charset=utf-8',
  prometheusText: 'text/plain; version=0.0.4; charset=utf-8',
} as const

type Exposition = keyof typeof types

/**
 * The older format only where it is asked for and OpenMetrics is not, or less (RFC 9110 §12.5.1); whoever takes anything
 * gets OpenMetrics.
 */
function wanted(accept: string | undefined): Exposition {
  const weights = (accept ?? '').slice(0, longestAccept).split(',').map(weighed)
  const weightOf = (...types: readonly string[]): number | null => {
    const fitting = weights.filter(({ type }) => types.includes(type)).map(({ weight }) => weight)
    return fitting.length === 0 ? null : Math.max(...fitting)
  }
  const any = weightOf('*/*') ?? 0
  const open = weightOf('application/openmetrics-text', 'application/*') ?? any
  const text = weightOf('text/plain', 'text/*') ?? any
  return text > open ? 'prometheusText' : 'openMetrics'
}

/** Longer lists of types are nobody's (X3). */
const longestAccept = 1000

function weighed(range: string): { readonly type: string; readonly weight: number } {
  const [type = '', ...parameters] = range.split(';').map((part) => part.trim().toLowerCase())
  const weight = parameters.find((parameter) => /^q=/.test(parameter))
  return { type, weight: weight === undefined ? 1 : Number(weight.slice(2)) || 0 }
}
