import type { FastifyBaseLogger, FastifyPluginAsync, FastifyPluginOptions, RawServerDefault } from 'fastify'
import type { ZodTypeProvider } from 'fastify-type-provider-zod'

export { serializerCompiler, validatorCompiler } from 'fastify-type-provider-zod'

/** A file of routes: requests are typed by their zod schemas, answers are checked by theirs. */
export type Routes<Options extends FastifyPluginOptions> = FastifyPluginAsync<
  Options,
  RawServerDefault,
  ZodTypeProvider,
  FastifyBaseLogger
>
