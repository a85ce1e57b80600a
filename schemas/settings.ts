import { z } from 'zod'
import { TimeZone } from './place.ts'
import { DurationText, millis, seconds } from './units.ts'

const Port = z.coerce.number().int().min(0).max(65_535)

/** An external broker, used instead of the embedded one when a URL is given. */
export const ExternalBroker = z.strictObject({
  /** `mqtt://`, `mqtts://`, `ws://` or `wss://`. */
  url: z.string().regex(/^(?:mqtts?|wss?):\/\/[^\s/]+/, 'expected mqtt://host:1883 or mqtts://host:8883'),
  /** Fixed: the broker keeps the session under this name while the daemon is away. */
  clientId: z.string().min(1).max(64).default('brumal'),
  user: z.string().optional(),
  password: z.string().optional(),
  /** PEM files: the broker's certificate authority, and our own certificate and key where the broker asks for them. */
  caFile: z.string().optional(),
  certFile: z.string().optional(),
  keyFile: z.string().optional(),
  /** What to subscribe to; unclaimed topics under it are listed in Set-up. */
  topics: z.array(z.string().min(1).max(200)).min(1).max(50).default(['#']),
})
export type ExternalBroker = z.infer<typeof ExternalBroker>

export const LogLevel = z.enum(['fatal', 'error', 'warn', 'info', 'debug', 'trace', 'silent'])

/** `brumal.yaml`. Every key has a default, so an empty file is a valid one. */
export const Settings = z.strictObject({
  /** Folder of the database; made when missing. */
  data: z.string().min(1).default('data'),
  /** Time zone of a new household; the machine's own when absent. */
  timeZone: TimeZone.optional(),
  logLevel: LogLevel.default('info'),
  http: z
    .strictObject({ host: z.string().min(1).default('0.0.0.0'), port: Port.default(8420) })
    .default({ host: '0.0.0.0', port: 8420 }),
  mqtt: z
    .strictObject({
      /** The embedded broker. Port 0 takes any free one. */
      host: z.string().min(1).default('0.0.0.0'),
      port: Port.default(1883),
      /** Let clients publish to the embedded broker without a name and password. */
      anonymous: z.stringbool().or(z.boolean()).default(false),
      broker: ExternalBroker.optional(),
    })
    .default({ host: '0.0.0.0', port: 1883, anonymous: false }),
  store: z
    .strictObject({
      /** Longest time that a reading without an alarm waits for its commit: 0 to 30 s. Fewer commits wear a card less. */
      commitEvery: DurationText.refine((ms) => ms <= 30_000, 'at most 30 s').default(seconds(5)),
    })
    .default({ commitEvery: millis(5000) }),
})
export type Settings = z.infer<typeof Settings>
