/** A process that lives a compressed day in the folder given and, each half hour, prints how much it holds as a JSON line. */
import { readdirSync, writeSync } from 'node:fs'
import { openDatabase } from '../../daemon/sqlite/open.ts'
import { minutes, seconds } from '../../schemas/amounts.ts'
import { simulatedWinter } from './simulated-winter.ts'

export interface SoakSample {
  readonly hour: number
  /** Sent so far, committed or not. */
  readonly readings: number
  readonly rss: number
  readonly heap: number
  readonly descriptors: number
  readonly alarms: number
  readonly told: number
}

const [folder] = process.argv.slice(2)
if (folder !== undefined) soak(folder)

function soak(path: string): void {
  const { gc } = globalThis
  if (gc === undefined) throw new Error('start it with --expose-gc')
  const winter = simulatedWinter(openDatabase(path), {
    sensors: 24,
    every: seconds(1),
    steps: 'sixteenth',
    commitEvery: seconds(5),
    patience: 'group',
    coldSpellsAnHour: 2,
  })
  for (let hour = 0.5; hour <= 24; hour += 0.5) {
    winter.pass(minutes(30))
    winter.house.commit() // so that what is counted is what was sent
    gc()
    gc() // what the first one let go of outside of the heap
    const { rss, heapUsed } = process.memoryUsage()
    const sample: SoakSample = {
      hour,
      readings: winter.counts.sent,
      rss,
      heap: heapUsed,
      descriptors: readdirSync('/proc/self/fd').length,
      alarms: winter.alarms(),
      told: winter.told(),
    }
    writeSync(1, `${JSON.stringify(sample)}\n`)
  }
  winter.close()
}
