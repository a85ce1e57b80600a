import type { PlaceNow, ValueNow } from '../../schemas/api.ts'
import { qualityWords } from '../../shared/telling/words.ts'
import { usePage } from '../page/use-page.ts'
import { Age } from '../parts/age.tsx'
import { quantityName } from '../words/names.ts'
import { say } from '../../shared/words/say.ts'

/** The newest values: temperature large, the rest beside it. An age that is the first one's too is told once. */
export function ValuesNow({ place }: { place: PlaceNow }) {
  const main = place.values.find((value) => value.quantity === 'temperature') ?? place.values[0]
  if (main === undefined) {
    return place.remarks.length === 0 ? <p class="values values-none">{say('No sensor here.')}</p> : null
  }
  const others = place.values.filter((value) => value !== main)
  return (
    <dl class="values">
      <Value value={main} main={null} zone={place.timeZone} />
      {others.map((value) => (
        <Value key={`${value.sensor} ${value.quantity}`} value={value} main={main} zone={place.timeZone} />
      ))}
    </dl>
  )
}

function Value({ value, main, zone }: { value: ValueNow; main: ValueNow | null; zone: string }) {
  const { tell } = usePage()
  const isBelieved = value.quality === 'good'
  const isOfMain = main !== null && main.sensor === value.sensor
  const isAgeTold = isOfMain && main.at === value.at && main.fresh === value.fresh
  return (
    <div class={`value ${main === null ? 'value-main' : ''} ${value.fresh && isBelieved ? '' : 'value-old'}`}>
      <dt>{isOfMain ? quantityName[value.quantity] : value.sensorName}</dt>
      <dd>
        <span class="figure">{tell.value(value.value, value.quantity)}</span>
        <span class="value-age">
          {value.lastKnown
            ? say('last known, age unknown')
            : !isAgeTold && <AgeOf value={value} zone={zone} />}
        </span>
        {value.quality !== 'good' && (
          <span class="value-doubt">
            {say('not believed: {part}', { part: qualityWords[value.quality] })}
          </span>
        )}
      </dd>
    </div>
  )
}

function AgeOf({ value, zone }: { value: ValueNow; zone: string }) {
  return (
    <>
      {!value.fresh && say('last heard ')}
      <Age at={value.at} zone={zone} />
    </>
  )
}
