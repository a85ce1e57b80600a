import { z } from 'zod'
import { TimeZone } from './place.ts'
import { BytesText } from './bytes-text.ts'
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

/** A broker elsewhere that readings and alarms of several households come together on; ours go there once a URL is given. */
export const Upstream = ExternalBroker.omit({ topics: true, clientId: true }).extend({
  /** Names this household there: what it sends goes below `brumal/site/<site>/`. */
  site: z
    .string()
    .regex(/^[a-z0-9](?:[a-z0-9-]{0,38}[a-z0-9])?$/, 'use a-z, 0-9 and inner hyphens, at most 40'),
  /** `brumal-` and the site when absent. */
  clientId: z.string().min(1).max(64).optional(),
})
export type Upstream = z.infer<typeof Upstream>

/** The server that mail goes out by; without one there are no mail channels. */
export const MailServer = z.strictObject({
  host: z.string().min(1).max(253),
  port: z.int().min(1).max(65_535).default(465),
  /** `tls` from the first byte (port 465, RFC 8314), `starttls` before the login (587), `none` in the clear. */
  security: z.enum(['tls', 'starttls', 'none']).default('tls'),
  user: z.string().optional(),
  password: z.string().optional(),
  /** `brumal@house.example`, or `Brumal <brumal@house.example>`. */
  from: z.string().regex(/^(?:[^<>@]*<[^<>@\s]+@[^<>@\s]+>|[^<>@\s]+@[^<>@\s]+)$/, 'expected an address'),
  /** PEM file of the authority that signed the server's certificate, where the system does not know it. */
  caFile: z.string().optional(),
})
export type MailServer = z.infer<typeof MailServer>

export const LogLevel = z.enum(['fatal', 'error', 'warn', 'info', 'debug', 'trace', 'silent'])

/** `brumal.yaml`. Every key has a default, so an empty file is a valid one. */
export const Settings = z.strictObject({
  /** Folder of the database; made when missing. */
  data: z.string().min(1).default('data'),
  /** Time zone of a new household; the machine's own when absent. */
  timeZone: TimeZone.optional(),
  /** Of messages, reports and what the daemon says of itself on screen; each browser has a language of its own. */
  language: z.enum(['en', 'de']).default('en'),
  logLevel: LogLevel.default('info'),
  http: z
    .strictObject({
      host: z.string().min(1).default('0.0.0.0'),
      port: Port.default(8420),
      /** Where phones reach the page: links in messages lead there. This machine's address when absent. */
      address: z
        .url({ protocol: /^https?$/ })
        .refine((url) => !/[?#]/.test(url), 'without ? and #')
        .optional(),
      /** PEM files; both make the page https. Read again when they change. */
      certFile: z.string().optional(),
      keyFile: z.string().optional(),
      /** Addresses of reverse proxies whose X-Forwarded-… headers are believed, besides this machine. */
      proxies: z.array(z.string().min(1).max(100)).max(20).default([]),
    })
    .refine(({ certFile, keyFile }) => (certFile === undefined) === (keyFile === undefined), {
      message: 'certFile and keyFile belong together',
      path: ['certFile'],
    })
    .prefault({}),
  mail: MailServer.optional(),
  push: z
    .strictObject({
      /** Whom a push service may write to about us (RFC 8292 §2.1): `mailto:` or `https:`. */
      subject: z
        .string()
        .regex(/^(?:mailto:[^@\s]+@[^@\s]+|https:\/\/\S+)$/, 'expected mailto:… or https://…')
        .optional(),
    })
    .prefault({}),
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
  upstream: Upstream.optional(),
  heartbeat: z
    .strictObject({
      /** A watcher outside that complains when the beats stop: it gets a GET at every beat. A key, never printed. */
      url: z.url({ protocol: /^https?$/ }).optional(),
      /** 10 s to 1 h; tell the watcher to complain after two or three. */
      every: DurationText.refine((ms) => ms >= 10_000 && ms <= 3_600_000, 'from 10 s to 1 h').prefault(
        '60 s',
      ),
    })
    .prefault({}),
  store: z
    .strictObject({
      /** Longest time that a reading without an alarm waits for its commit: 0 to 30 s. Fewer commits wear a card less. */
      commitEvery: DurationText.refine((ms) => ms <= 30_000, 'at most 30 s').prefault('30 s'),
      /** Older than this, single readings give way to the hour's lowest, mean and highest: 30 d to 100 years. */
      keepReadings: DurationText.refine(
        (ms) => ms >= 30 * 86_400_000 && ms <= 36_525 * 86_400_000,
        'from 30 d to 36525 d',
      ).prefault('730 d'),
      /** Beyond this size the oldest readings are thinned sooner, though never those of the last 30 d. */
      budget: BytesText.refine((bytes) => bytes >= 20e6, 'at least 20 MB').prefault('2 GB'),
      /** Less room than this on the disk is told. */
      freeAtLeast: BytesText.prefault('200 MB'),
    })
    .prefault({}),
  backup: z
    .strictObject({
      isOn: z.boolean().default(true),
      /** Folder of the nightly copies; `backups` in the data folder when absent. Better on a second disk. */
      folder: z.string().min(1).optional(),
      /** Local time of the household; made up for after a start when it was missed. */
      at: z
        .string()
        .regex(/^(?:[01]\d|2[0-3]):[0-5]\d$/, 'expected a time of day such as 03:30')
        .default('03:30'),
      /** How many copies stay. */
      keep: z.int().min(1).max(1000).default(14),
      /** The folder must be on another disk than the data: a disk that is not mounted is then no silent success. */
      ownDisk: z.boolean().default(false),
    })
    .prefault({}),
})
export type Settings = z.infer<typeof Settings>

/** Keys whose values are never printed, logged or exported (X4). */
export const secretSettings: readonly string[] = [
  'mqtt.broker.password',
  'upstream.password',
  'mail.password',
  'heartbeat.url',
]
