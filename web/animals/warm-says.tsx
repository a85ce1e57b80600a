import type { Figure, Phase, SpeciesProfile } from '../../schemas/species.ts'
import { figureOf } from '../../shared/animals/subject.ts'
import { usePage } from '../page/use-page.ts'
import { Link } from '../parts/link.tsx'
import { SourceNote } from '../plan/source-note.tsx'

/** What it is given while it is awake: warmth by day and night, a hot spot, hours of light; each with its source. */
export function WarmSays({ profile, phase }: { profile: SpeciesProfile | null; phase: Phase }) {
  const { tell, household } = usePage()
  const isCold = phase === 'coolDown' || phase === 'hold'
  const awake = profile?.awake
  if (isCold || profile === null || awake === undefined) return null
  const guidance = household.value?.guidance ?? 'strict'
  const celsius = (figure: Figure): string => tell.value(figureOf(figure, guidance), 'temperature')
  const span = ({ from, to }: { from: Figure; to: Figure }): string => `${celsius(from)} to ${celsius(to)}`
  const rows: readonly (readonly [name: string, words: string, figure: Figure])[] = [
    ...(awake.day === undefined ? [] : [['By day', span(awake.day), awake.day.from] as const]),
    ...(awake.night === undefined ? [] : [['By night', span(awake.night), awake.night.from] as const]),
    ...(awake.basking === undefined
      ? []
      : [['Hot spot', `up to ${celsius(awake.basking)}`, awake.basking] as const]),
    ...(awake.lightHours === undefined
      ? []
      : [
          ['Light', `${tell.count(figureOf(awake.lightHours, guidance))} h a day`, awake.lightHours] as const,
        ]),
  ]
  const light = profile.notes.filter(({ text }) => /light/i.test(text))
  return (
    <section class="says" aria-labelledby="warmth">
      <h2 id="warmth">Awake</h2>
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
        <Link to="/species">All figures of its species</Link>
      </p>
    </section>
  )
}
