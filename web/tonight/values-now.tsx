import type { PlaceNow, ValueNow } from '../../schemas/api.ts'
import { qualityWords } from '../../shared/telling/words.ts'
import { usePage } from '../page/use-page.ts'
import { Age } from '../parts/age.tsx'

/** The newest values: temperature large, the rest beside it; every one with its age. */
export function ValuesNow({ place }: { place: PlaceNow }) {
  const main = place.values.find((value) => value.quantity === 'temperature') ?? place.values[0]
  if (main === undefined) return <p class="values values-none">No sensor here.</p>
  const others = place.values.filter((value) => value !== main)
  return (
    <dl class="values">
      <Value value={main} zone={place.timeZone} isMain />
      {others.map((value) => (
        <Value key={`${value.sensor} ${value.quantity}`} value={value} zone={place.timeZone} isMain={false} />
      ))}
    </dl>
  )
}

function Value({ value, zone, isMain }: { value: ValueNow; zone: string; isMain: boolean }) {
  const { tell } = usePage()
  const isBelieved = value.quality === 'good'
  return (
    <div class={`value ${isMain ? 'value-main' : ''} ${value.fresh && isBelieved ? '' : 'value-old'}`}>
      <dt>{value.sensorName}</dt>
      <dd>
        <span class="figure">{tell.value(value.value, value.quantity)}</span>
        <span class="value-age">
          {value.lastKnown ? (
            'last known, age unknown'
          ) : (
            <>
              {!value.fresh && 'last heard '}
              <Age at={value.at} zone={zone} />
            </>
          )}
        </span>
        {value.quality !== 'good' && (
          <span class="value-doubt">not believed: {qualityWords[value.quality]}</span>
        )}
      </dd>
    </div>
  )
}
