import type { FastifyReply } from 'fastify'
import { z } from 'zod'
import { Device, DeviceName, DevicesNow, MadeDevice, SharedLogin } from '../../schemas/access.ts'
import type { Clock } from '../ports/clock.ts'
import type { Desk } from '../ports/desk.ts'
import type { Devices } from '../ports/devices.ts'
import { idDiffers } from './answer.ts'
import { byName, keepers } from './doors/guard.ts'
import type { Routes } from './zod.ts'
import { say } from '../../shared/words/say.ts'

/** As many as there may be sensors (X3). */
export const mostDevices = 500

const params = z.strictObject({ device: DeviceName })
const tags = ['devices']

export interface DeviceOptions {
  readonly desk: Pick<Desk, 'note'>
  readonly devices: Devices
  readonly clock: Clock
}

/** Logins at the embedded broker (X2). They are keys to the house, so no access token may touch them. */
export const deviceRoutes: Routes<DeviceOptions> = async (app, { desk, devices, clock }) => {
  const note = (by: string, text: string) => desk.note({ at: clock.now(), kind: 'accessChanged', by, text })
  const now = (): DevicesNow => {
    const { devices: list, sharedLogin, isOurs } = devices.list()
    return { devices: [...list], sharedLogin, isOurs }
  }

  app.get(
    '/devices',
    {
      config: { roles: keepers, tokens: 'none' },
      schema: {
        tags,
        summary: 'Devices with a login of their own',
        querystring: z.strictObject({}),
        response: { 200: DevicesNow },
      },
    },
    async () => now(),
  )

  app.put(
    '/devices/:device',
    {
      config: { tokens: 'none' },
      schema: {
        tags,
        summary: 'Make a login for a device, or give it a new password',
        description: 'The password is shown here and never again.',
        params,
        body: Device,
        response: { 200: MadeDevice },
      },
    },
    async (request, reply) => {
      const { name } = request.body
      if (name !== request.params.device) return idDiffers(reply)
      const { devices: list, isOurs } = devices.list()
      if (!isOurs) return notOurs(reply)
      const isNew = !list.some((device) => device.name === name)
      if (isNew && list.length >= mostDevices)
        return reply.problem(
          409,
          'tooMany',
          say('There may be {mostDevices} devices. Remove one.', { mostDevices }),
        )
      const { device, password, snippets } = devices.make(request.body)
      note(
        byName(request),
        isNew
          ? say('New login for the device {name}.', { name })
          : say('New password for the device {name}.', { name }),
      )
      return { device, password, snippets: [...snippets] }
    },
  )

  app.delete(
    '/devices/:device',
    {
      config: { tokens: 'none' },
      schema: { tags, summary: "End a device's login", params, response: { 204: z.undefined() } },
    },
    async (request, reply) => {
      const { device } = request.params
      if (!devices.remove(device)) return reply.problem(404, 'noSuchDevice', say('There is no such device.'))
      note(byName(request), say('The login of the device {device} is ended.', { device }))
      return reply.code(204).send()
    },
  )

  app.put(
    '/shared-login',
    {
      config: { tokens: 'none' },
      schema: {
        tags,
        summary: 'Open or close the login that all sensors may share',
        body: SharedLogin,
        response: { 200: DevicesNow },
      },
    },
    async (request, reply) => {
      const { on } = request.body
      const { isOurs, sharedLogin } = devices.list()
      if (!isOurs) return notOurs(reply)
      devices.openSharedLogin(on)
      if (on !== sharedLogin)
        note(
          byName(request),
          say('The login that all sensors share is {part}.', { part: on ? 'open' : 'closed' }),
        )
      return now()
    },
  )
}

const notOurs = <Reply extends FastifyReply>(reply: Reply): Reply =>
  reply.problem(409, 'notOurs', say('This house has a broker of its own. Logins are made there.'))
