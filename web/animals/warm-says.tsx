import type { Figure, Phase, SpeciesProfile } from '../../schemas/species.ts'
import { figureOf } from '../../shared/animals/subject.ts'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { SourceNote } from '../plan/source-note.tsx'
import { say } from '../../shared/words/say.ts'

/** What it is given while it is awake: warmth by day and night, a hot spot, hours of light; each with its source. */
export function WarmSays({ profile, phase }: { profile: SpeciesProfile | null; phase: Phase }) {
  const { tell, household } = usePage()
  const isCold = phase === 'coolDown' || phase === 'hold'
  const awake = profile?.awake
  if (isCold || profile === null || awake === undefined) return null
  const guidance = household.value?.guidance ?? 'strict'
  const celsius = (figure: Figure): string => tell.value(figureOf(figure, guidance), 'temperature')
  const span = ({ from, to }: { from: Figure; to: Figure }): string =>
    say('{celsius} to {celsius2}', { celsius: celsius(from), celsius2: celsius(to) })
  const rows: readonly (readonly [name: string, words: string, figure: Figure])[] = [
    ...(awake.day === undefined ? [] : [[say('By day'), span(awake.day), awake.day.from] as const]),
    ...(awake.night === undefined ? [] : [[say('By night'), span(awake.night), awake.night.from] as const]),
    ...(awake.basking === undefined
      ? []
      : [
          [
            say('Hot spot'),
            say('up to {celsius}', { celsius: celsius(awake.basking) }),
            awake.basking,
          ] as const,
        ]),
    ...(awake.lightHours === undefined
      ? []
      : [
          [
            say('Light'),
            say('{count} h a day', { count: tell.count(figureOf(awake.lightHours, guidance)) }),
            awake.lightHours,
          ] as const,
        ]),
  ]
  const light = profile.notes.filter(({ text }) => /light/i.test(text))
  return (
    <section class="says" aria-labelledby="warmth">
      <h2 id="warmth">{say('Awake')}</h2>
      <ul>
        {rows.map(([name, words, figure]) => (
          <li key={name}>
            {name}: {words}
            <SourceNote source={figure.source} evidence={figure.evidence} />
          </li>
        ))}
        {awake.lightHours === undefined &&
          light.map(({ text, source, evidence }) => (
            <li key={text}>
              {text}
              <SourceNote source={source} evidence={evidence} />
            </li>
          ))}
      </ul>
      <p>
        <Link to="/species">{say('All figures of its species')}</Link>
      </p>
    </section>
  )
}
