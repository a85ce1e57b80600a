// Starts one broker, waits until it is up, stops it and expects the process to end by itself: `embedded` or a URL.
import { readFileSync } from 'node:fs'
import { embeddedBroker } from '../../daemon/mqtt/embedded.ts'
import { externalBroker } from '../../daemon/mqtt/external.ts'
import { ExternalBroker } from '../../schemas/settings.ts'
import { keptLog, noChance, realClock } from './broker-world.ts'

const which = process.argv[2] ?? 'embedded'
const world = { clock: realClock, random: noChance, log: keptLog() }
const broker =
  which === 'embedded'
    ? embeddedBroker({ ...world, host: '127.0.0.1', port: 0, anonymous: false, checkLogin: () => null })
    : externalBroker({ ...world, settings: ExternalBroker.parse({ url: which }), readFile: readFileSync })

broker.onState((state) => {
  process.stdout.write(`${state.name}\n`)
  if (state.name === 'up' || process.argv[3] === 'evenDown') void broker.stop()
})
broker.start((_packet, settle) => settle(null))
