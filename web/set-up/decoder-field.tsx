import type { Problem } from '../../schemas/api.ts'
import type { Quantity } from '../../schemas/quantity.ts'
import type { Decoder, WireUnit } from '../../schemas/sensor.ts'
import { ChoiceField, choicesOf, TextField } from '../parts/field.tsx'
import { decoderName, quantityName } from '../words/names.ts'
import { decoderOfKind } from './decoder-of-kind.ts'
import { say } from '../../shared/words/say.ts'

const unitName: Record<WireUnit, string> = {
  celsius: '°C',
  fahrenheit: '°F',
  kelvin: 'K',
  percent: '%',
  ratio: say('0 to 1'),
  volt: 'V',
  millivolt: 'mV',
  boolean: say('true or false'),
}

/** How a message becomes readings, with whatever the chosen way needs to know. */
export function DecoderField({
  decoder,
  problem,
  onDecoder,
}: {
  decoder: Decoder
  problem: Problem | null
  onDecoder: (decoder: Decoder) => void
}) {
  return (
    <>
      <ChoiceField
        label={say('Decoder')}
        field="decoder.kind"
        problem={problem}
        value={decoder.kind}
        onValue={(kind) => onDecoder(decoderOfKind(kind as Decoder['kind']))}
        choices={choicesOf(decoderName)}
      />
      {decoder.kind === 'number' && (
        <div class="field-pair">
          <QuantityChoice
            field="decoder.quantity"
            value={decoder.quantity}
            onValue={(quantity) => onDecoder({ ...decoder, quantity })}
          />
          <ChoiceField
            label={say('Unit')}
            field="decoder.unit"
            problem={problem}
            value={decoder.unit ?? ''}
            onValue={(unit) => {
              const { unit: _unit, ...rest } = decoder
              onDecoder(unit === '' ? rest : { ...rest, unit: unit as WireUnit })
            }}
            choices={[{ value: '', label: say('the usual') }, ...choicesOf(unitName)]}
          />
        </div>
      )}
      {decoder.kind === 'json' &&
        decoder.fields.map((one, row) => (
          <div class="field-pair" key={row}>
            <TextField
              label={say('JSON Pointer')}
              field={`decoder.fields.${row}.pointer`}
              problem={problem}
              value={one.pointer}
              onValue={(pointer) =>
                onDecoder({
                  ...decoder,
                  fields: decoder.fields.map((f, i) => (i === row ? { ...f, pointer } : f)),
                })
              }
            />
            <QuantityChoice
              field={`decoder.fields.${row}.quantity`}
              value={one.quantity}
              onValue={(quantity) =>
                onDecoder({
                  ...decoder,
                  fields: decoder.fields.map((f, i) => (i === row ? { ...f, quantity } : f)),
                })
              }
            />
          </div>
        ))}
      {decoder.kind === 'json' && (
        <button
          type="button"
          class="quiet"
          onClick={() =>
            onDecoder({ ...decoder, fields: [...decoder.fields, { pointer: '/', quantity: 'humidity' }] })
          }
        >
          {say('One more value')}
        </button>
      )}
      {decoder.kind === 'bthome' && (
        <>
          <TextField
            label={say('Bind key')}
            field="decoder.key"
            hint={say('32 hex digits, for encrypted devices.')}
            problem={problem}
            value={decoder.key ?? ''}
            onValue={(key) => onDecoder(bthome(key, decoder.mac ?? ''))}
          />
          <TextField
            label={say('MAC address')}
            field="decoder.mac"
            hint={say('12 hex digits without colons.')}
            problem={problem}
            value={decoder.mac ?? ''}
            onValue={(mac) => onDecoder(bthome(decoder.key ?? '', mac))}
          />
        </>
      )}
    </>
  )
}

function QuantityChoice({
  field,
  value,
  onValue,
}: {
  field: string
  value: Quantity
  onValue: (q: Quantity) => void
}) {
  return (
    <ChoiceField
      label={say('Quantity')}
      field={field}
      value={value}
      onValue={(chosen) => onValue(chosen as Quantity)}
      choices={choicesOf(quantityName)}
    />
  )
}

const bthome = (key: string, mac: string): Decoder => ({
  kind: 'bthome',
  ...(key === '' ? {} : { key }),
  ...(mac === '' ? {} : { mac }),
})
