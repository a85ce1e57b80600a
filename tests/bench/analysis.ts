import { liveReadings, perWinter, type Round, winterDays } from './analysis-size.ts'
import { report } from './report.ts'

const aims = { winterMs: 1000, liveUs: 20 }

/** What the curve of a place costs to read. `run` gives one round's figures, from a process of its own. */
export async function analysis(rounds: number, run: () => Promise<Round>): Promise<void> {
  const all: Round[] = []
  for (let i = 0; i < rounds; i++) all.push(await run())
  const of = (name: keyof Round): number[] => all.map((one) => one[name])
  report('analysis of a whole winter at 10 s for one place', 'ms', perWinter, of('both'))
  const paces = of('both').map((ms) => (1000 * perWinter) / ms)
  report('  the same', 'readings/s', perWinter, paces)
  report('  thermal watch alone', 'ms', perWinter, of('watch'))
  report('  cost walk alone', 'ms', perWinter, of('walk'))
  report('cost per reading in the live path, thermal judge on', 'µs', liveReadings, of('live'))
  console.log(
    `  method: ${winterDays} days at 10 s of one fridge's air (saw-tooth, noise, steps of 1/16 K), made before the clock starts; each round a new process on the built program, its first pass included; aims ${aims.winterMs} ms and ${aims.liveUs} µs`,
  )
}
