import { z } from 'zod'
import { BackupLine, KeepingNow } from '../../schemas/keeping.ts'
import type { Desk } from '../ports/desk.ts'
import { byName, keepers } from './doors/guard.ts'
import type { Routes } from './zod.ts'

const tags = ['keeping']

/** How everything is kept. No path leads to a backup itself: it holds password hashes (X4). */
export const keepingRoutes: Routes<{ desk: Desk }> = async (app, { desk }) => {
  app.get(
    '/keeping',
    {
      config: { roles: keepers }, // it names folders of this computer
      schema: {
        tags,
        summary: 'The database, the disk under it, and its backups',
        querystring: z.strictObject({}),
        response: { 200: KeepingNow },
      },
    },
    async () => desk.keeping(),
  )

  app.post(
    '/backups',
    {
      schema: {
        tags,
        summary: 'Make a backup now; answers when it is made and looked through',
        body: z.strictObject({}).optional(),
        response: { 200: BackupLine },
      },
    },
    async (request, reply) => {
      const outcome = await desk.backUpNow(byName(request))
      return outcome.ok ? outcome.value : reply.refuse(outcome, { alreadyRunning: 409, backupFailed: 503 })
    },
  )
}
