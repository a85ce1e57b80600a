import type { ServerResponse } from 'node:http'
import { z } from 'zod'
import { seconds } from '../../schemas/amounts.ts'
import type { Millis } from '../../schemas/units.ts'
import type { Desk } from '../ports/desk.ts'
import type { RandomBytes } from '../ports/seal.ts'
import { signedIn } from './doors/guard.ts'
import type { Endings } from './doors/endings.ts'
import type { Routes } from './zod.ts'
import { say } from '../../shared/words/say.ts'

/**
 * Bounds of the live stream (X3). 500 clients: a household's browsers ten times over, about 20 MB. A client that leaves
 * 1 MB unread is asleep or gone; it comes back by itself and fetches afresh.
 */
export const liveBounds = { clients: 500, unreadBytes: 1_048_576 } as const

/** Keeps middle boxes from closing a quiet stream, and shows a browser that the daemon lives. */
export const pingEvery = seconds(15)

export interface LiveOptions {
  readonly desk: Desk
  /** Whether the session or access token of this hash still stands. */
  readonly stands: (tokenHash: string) => boolean
  readonly endings: Endings
  readonly random: RandomBytes
  readonly pingEvery: Millis
}

/** Server-Sent Events (HTML standard §9.2), by hand for the sake of back-pressure. */
export const liveRoutes: Routes<LiveOptions> = async (app, options) => {
  const { desk, stands, endings, random, pingEvery } = options
  const clients = new Map<ServerResponse, { readonly tokenHash: string }>()
  // Event ids of another run must not pass for ours
  const run = Buffer.from(random(6)).toString('hex')
  let count = 0
  let closing = false

  const drop = (client: ServerResponse) => {
    clients.delete(client)
    client.destroy()
  }
  const write = (client: ServerResponse, text: string) => {
    if (client.destroyed || client.writableLength > liveBounds.unreadBytes) return drop(client)
    client.write(text)
  }

  const unsubscribe = desk.subscribe((event) => {
    count++
    if (clients.size === 0) return
    const text = `id: ${run}-${count}\nevent: ${event.kind}\ndata: ${JSON.stringify(event)}\n\n`
    for (const client of [...clients.keys()]) write(client, text)
  })
  const endOthers = () => {
    for (const [client, { tokenHash }] of [...clients]) {
      if (stands(tokenHash)) continue
      clients.delete(client)
      client.end()
    }
  }
  endings.subscribe(endOthers)
  const pings = setInterval(() => {
    endOthers() // what ended by time, or from the console
    for (const client of [...clients.keys()]) write(client, ': ping\n\n')
  }, pingEvery)
  pings.unref()

  app.addHook('preClose', async () => {
    closing = true
    clearInterval(pings)
    unsubscribe()
    for (const client of clients.keys()) client.end()
    clients.clear()
  })

  app.get(
    '/live',
    {
      exposeHeadRoute: false, // a HEAD would hold the stream open for nothing
      schema: {
        tags: ['live'],
        summary: 'Everything that happens, as it happens',
        description: 'Server-Sent Events; the data of each is one LiveEvent.',
        querystring: z.strictObject({}),
        response: {
          200: { description: 'The stream', content: { 'text/event-stream': { schema: z.string() } } },
        },
      },
    },
    (request, reply) => {
      if (closing || clients.size >= liveBounds.clients) {
        void reply
          .header('retry-after', '30')
          .problem(503, 'tooManyLive', say('Too many browsers are watching.'))
        return
      }
      const client = reply.raw
      reply.hijack()
      client.on('close', () => clients.delete(client))
      client.on('error', () => drop(client)) // the browser went while we wrote
      client.writeHead(200, {
        ...(reply.getHeaders() as Record<string, string>),
        'content-type': 'text/event-stream; charset=utf-8',
        'cache-control': 'no-store',
        'x-accel-buffering': 'no', // asks nginx not to hold events back
      })
      client.write('retry: 3000\n\n')
      const lastSeen = request.headers['last-event-id']
      if (lastSeen !== undefined && lastSeen !== `${run}-${count}`) {
        // Something was missed, and what was is not kept here
        client.write(`id: ${run}-${count}\nevent: tonight\ndata: {"kind":"tonight"}\n\n`)
      }
      clients.set(client, { tokenHash: signedIn(request).tokenHash })
    },
  )
}
