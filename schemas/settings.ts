import { z } from 'zod'
import { TimeZone } from './place.ts'
import { DurationText } from './duration-text.ts'

/** TCP port; 0 takes any free one. */
const Port = z.int().min(0).max(65_535)

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
  http: z.strictObject({ host: z.string().min(1).default('0.0.0.0'), port: Port.default(8420) }).prefault({}),
  mqtt: z
    .strictObject({
      /** The embedded broker. */
      host: z.string().min(1).default('0.0.0.0'),
      port: Port.default(1883),
      /** Let clients publish to the embedded broker without a name and password. */
      anonymous: z.boolean().default(false),
      broker: ExternalBroker.optional(),
    })
    .prefault({}),
  store: z
    .strictObject({
      /** Longest time that a reading without an alarm waits for its commit: 0 to 30 s. Fewer commits wear a card less. */
      commitEvery: DurationText.refine((ms) => ms <= 30_000, 'at most 30 s').prefault('5 s'),
    })
    .prefault({}),
})
export type Settings = z.infer<typeof Settings>

/** Keys whose values are never printed, logged or exported (X4). */
export const secretSettings: readonly string[] = ['mqtt.broker.password']
