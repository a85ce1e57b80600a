import { randomBytes } from 'node:crypto'
import type { Settings } from '../../schemas/settings.ts'
import { minutes, seconds } from '../../schemas/amounts.ts'
import { durationWords } from '../../shared/telling/words.ts'
import { openSignals } from '../app/signals.ts'
import { watchCertificate } from '../host/certificate.ts'
import { startHeartbeat } from '../host/heartbeat.ts'
import { keepListening } from '../host/listening.ts'
import { buildServer, renewTls } from '../http/server.ts'
import type { Clock } from '../ports/clock.ts'
import type { Log } from '../ports/log.ts'
import type { Supervisor } from '../ports/supervisor.ts'
import type { OpenKept } from './kept.ts'
import { newestIn } from './newest.ts'
import { webRoot } from './own-address.ts'
import { type Parts, putTogether } from './parts.ts'
import { beginPractice } from './practising.ts'
import { startRhythms } from './rhythms.ts'

/** Downtime shorter than this is a restart, not a gap worth a line. */
const gapFrom = minutes(2)
/** Then the page opens all the same, and says what is wrong: fourteen nights take about three seconds. */
const longestFill = seconds(30)

/**
 * Why a household ends. `reopen`: the disk takes everything again, and the real household goes on from there. `mend`:
 * its database turned out to be damaged, and opening it anew sets that aside.
 */
export type Next = 'stop' | 'practice' | 'real' | 'reopen' | 'mend'

/** Runs one household, the real or the invented one, until stopped or switched. */
export async function runHouse(world: {
  readonly settings: Settings
  readonly log: Log
  readonly real: Clock
  readonly supervisor: Supervisor
  /** The real household's. */
  readonly kept: OpenKept
  readonly stopped: Promise<Next>
  /** Whether a damage that shows while it runs ends it, to be mended. */
  readonly mayMend: boolean
  readonly isPractice: boolean
}): Promise<Next> {
  const { log, real, supervisor, stopped, isPractice } = world
  let switchTo: (next: Next) => void = () => {}
  const switched = new Promise<Next>((resolve) => {
    switchTo = resolve
  })
  const parts = putTogether({ ...world, onSwitch: (next) => switchTo(next) })
  const { settings, timer, clock, house, broker, keeping, forwarding, outbox, outlooks, imports } = parts
  if (!isPractice) tellDamage(world, parts, () => switchTo('mend'))

  begin(parts, isPractice ? { way: 'asItWas', sentence: null } : world.kept.opened)
  const signals = openSignals({ house, broker, clock, timer, log })
  broker.start(parts.listener.onPacket)
  const { server, certificate } = await openPage(parts, real, log)
  const practising =
    parts.practiceTime === null
      ? null
      : beginPractice(settings, broker, parts.password, parts.practiceTime, house, log)
  if (practising !== null)
    await Promise.race([
      practising.filled,
      stopped,
      new Promise((resolve) => timer.after(longestFill, () => resolve(null))),
    ])
  const listening = keepListening(server, settings.http, log, (port) => {
    parts.onPort(port)
    log.info(
      { port, practice: isPractice },
      `Brumal ${isPractice ? 'practises' : 'is watching'}: ${certificate === null ? 'http' : 'https'}://localhost:${port} here, ${parts.address()} in the house.`,
    )
  })
  const rhythms = startRhythms({
    parts,
    real,
    supervisor,
    log,
    isJudging: () => practising === null || practising.isLive(),
    bringBack: isPractice ? null : world.kept.bringBack,
    onBack: () => switchTo('reopen'),
  })
  keeping.start()
  forwarding?.start()
  outlooks.start()
  supervisor.ready()
  const { url, every } = settings.heartbeat
  const heart =
    url === undefined || isPractice
      ? null
      : startHeartbeat({ url, every, isWell: rhythms.isWell, clock: real, log })

  const next = await Promise.race([stopped, switched])

  if (next === 'stop') supervisor.stopping()
  // Nothing new comes in, what is in hand is settled, then the doors close.
  log.info({ next }, whyEnds[next])
  rhythms.stop()
  listening.stop()
  await practising?.stop()
  await keeping.stop()
  await forwarding?.stop()
  await outlooks.stop()
  await imports.stop()
  heart?.stop()
  certificate?.stop()
  await signals.stop()
  await outbox.stop()
  const stopping = broker.stop()
  house.commit()
  await stopping
  house.note({ at: clock.now(), kind: 'stopped', by: 'brumal' })
  house.close()
  await server.close()
  if (isPractice) parts.store.close()
  return next
}

const whyEnds: Record<Next, string> = {
  stop: 'Stopping.',
  practice: 'Changing households.',
  real: 'Changing households.',
  reopen: 'The disk takes everything again; going on from there.',
  mend: 'The database is damaged; setting it aside and going on with what can be saved.',
}

/** A damage that shows while we run is mended by opening anew: the damaged file is set aside, a good backup brought in. */
function tellDamage(
  { kept, mayMend }: { readonly kept: OpenKept; readonly mayMend: boolean },
  { house }: Parts,
  mend: () => void,
): void {
  kept.onDamage(() => {
    house.housekeeping(
      'damage',
      new Error(
        mayMend
          ? 'The database is damaged. Brumal sets the damaged file aside and goes on with what can be saved and the newest good backup.'
          : 'The database is damaged again; the disk may be failing. Brumal goes on from memory: copy the newest backup to another disk, replace this one, and restart.',
      ),
    )
    if (mayMend) mend()
  })
}

function begin({ house, clock, resumed, stages, outbox }: Parts, opened: OpenKept['opened']): void {
  const started = clock.now()
  const downFor = started - (newestIn(resumed) ?? started)
  house.note({
    at: started,
    kind: 'started',
    by: 'brumal',
    ...(downFor >= gapFrom ? { text: `It had not been watching for ${durationWords(downFor)}.` } : {}),
  })
  house.take({ kind: 'listening', at: started }, 'soon')
  stages.begin(opened)
  outbox.start()
}

async function openPage({ settings, desk, logins, people, address }: Parts, real: Clock, log: Log) {
  const { certFile, keyFile } = settings.http
  const certificate =
    certFile === undefined || keyFile === undefined
      ? null
      : watchCertificate({ certFile, keyFile }, log, (renewed) => renewTls(server, renewed))
  const server = await buildServer({
    desk,
    devices: logins.devices,
    address,
    ...(certificate === null ? {} : { tls: certificate.first }),
    trustProxy: ['loopback', ...settings.http.proxies],
    people,
    clock: real,
    log,
    random: randomBytes,
    webRoot: webRoot(),
    onSetupCode: (code) => process.stdout.write(`\n  First visit: enter the set-up code  ${code}\n\n`),
  })
  return { server, certificate }
}
