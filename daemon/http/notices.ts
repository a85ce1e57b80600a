import { readFile } from 'node:fs/promises'
import { join } from 'node:path'
import type { FastifyInstance } from 'fastify'
import { say } from '../../shared/words/say.ts'

/**
 * Whose work Brumal is made with, as the build wrote it beside the page’s folder; for whoever is signed in. Its name has an
 * ending because the page’s worker answers every other one with the page.
 */
export function serveNotices(app: FastifyInstance, webRoot: string): void {
  app.get('/notices.txt', { schema: { hide: true } }, async (_request, reply) => {
    const text = await readFile(join(webRoot, '..', 'THIRD-PARTY-NOTICES.txt'), 'utf8').catch(() => null)
    if (text === null) return reply.problem(404, 'noNotices', say('The build left no notices here.'))
    return reply.type('text/plain; charset=utf-8').header('cache-control', 'no-cache').send(text)
  })
}
