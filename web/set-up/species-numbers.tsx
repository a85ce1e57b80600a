import type { Guidance, PhaseBand, SpeciesProfile } from '../../schemas/species.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import { durationWords, limitWords } from '../../shared/telling/words.ts'
import { evidenceName } from '../words/names.ts'

/** A species' limits, each with where its number comes from and how far it can be trusted. */
export function SpeciesNumbers({ profile, guidance }: { profile: SpeciesProfile; guidance: Guidance }) {
  return (
    <details class="species">
      <summary>
        Its numbers and their sources
        {profile.weak && <span class="soft"> (weak: keeper habit)</span>}
      </summary>
      {profile.winter === 'never' && <p>This species must never go down.</p>}
      {profile.hold !== undefined && <BandNumbers title="In hold" band={profile.hold} guidance={guidance} />}
      <BandNumbers title="Awake" band={profile.active} guidance={guidance} />
      {profile.notes.length > 0 && (
        <ul>
          {profile.notes.map((note) => (
            <li key={note.text}>
              {note.text}{' '}
              <span class="soft">
                {note.source}; {evidenceName[note.evidence]}
              </span>
            </li>
          ))}
        </ul>
      )}
    </details>
  )
}

function BandNumbers({ title, band, guidance }: { title: string; band: PhaseBand; guidance: Guidance }) {
  const rows = (['temperature', 'humidity'] as const).flatMap((quantity: Quantity & keyof PhaseBand) =>
    band[quantity].map((limit) => ({ quantity, limit })),
  )
  if (rows.length === 0) return null
  return (
    <>
      <h3>{title}</h3>
      <ul>
        {rows.map(({ quantity, limit }) => (
          <li key={`${quantity} ${limit.limit}`}>
            {limitWords(quantity, limit.limit, {
              value: guidance === 'lenient' ? (limit.lenient ?? limit.value) : limit.value,
              inclusive: limit.inclusive,
            })}{' '}
            for {durationWords(limit.for)}, {limit.priority}.{' '}
            <span class="soft">
              {limit.source}; {evidenceName[limit.evidence]}
            </span>
          </li>
        ))}
      </ul>
    </>
  )
}
