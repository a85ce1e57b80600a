import { Health } from '../../schemas/acts.ts'
import type { Desk } from '../ports/desk.ts'
import type { Routes } from './zod.ts'

/** Open to whatever watches the daemon from outside (N1); says nothing that a stranger may not know. */
export const healthRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/health',
    {
      config: { public: true },
      schema: { tags: ['health'], summary: 'Whether the daemon answers', response: { 200: Health } },
    },
    async () => ({
      status: 'ok' as const,
      broker: desk.connection().broker.name,
      store: desk.keeping().database.isOnDisk ? ('ok' as const) : ('failing' as const),
    }),
  )
}
