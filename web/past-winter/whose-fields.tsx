import type { Household } from '../../schemas/household.ts'
import type { TableLook, TableUnit } from '../../schemas/import.ts'
import { say } from '../../shared/words/say.ts'
import { ChoiceField, TextField } from '../parts/field.tsx'
import { quantityName } from '../words/names.ts'
import { newLogger, type Said, valueColumns, type Whose } from './column-roles.ts'

const units: Readonly<Record<'celsius' | 'fahrenheit' | 'kelvin', string>> = {
  celsius: '°C',
  fahrenheit: '°F',
  kelvin: 'K',
}

/** For each column of values: its unit, and whose readings they are. */
export function WhoseFields({
  look,
  said,
  household,
  onUnit,
  onWhose,
}: {
  look: TableLook
  said: Said
  household: Household
  onUnit: (index: number, unit: TableUnit) => void
  onWhose: (index: number, whose: Whose) => void
}) {
  const known = [...household.sensors, ...(household.loggers ?? [])]
  const places = [
    ...household.places.map(({ id, name }) => ({ value: id, label: name })),
    { value: '', label: say('No place') },
  ]
  return valueColumns(said).map(({ index, quantity }) => {
    const whose = said.whose[index] as Whose
    return (
      <fieldset key={index} class="whose">
        <legend>
          {say('{quantity} from “{heading}”', {
            quantity: quantityName[quantity],
            heading: look.columns[index]?.heading ?? '',
          })}
        </legend>
        {quantity === 'temperature' && (
          <ChoiceField
            label={say('Its unit')}
            field="unit"
            value={said.units[index] ?? ''}
            onValue={(unit) => onUnit(index, unit as TableUnit)}
            choices={[
              ...(said.units[index] === ''
                ? [{ value: '', label: say('Choose the unit'), disabled: true }]
                : []),
              ...Object.entries(units).map(([value, label]) => ({ value, label })),
            ]}
          />
        )}
        <ChoiceField
          label={say('Readings of')}
          field="sensor"
          value={whose.sensor}
          onValue={(sensor) => onWhose(index, { ...whose, sensor })}
          choices={[
            { value: newLogger, label: say('A logger of the past') },
            ...known.map(({ id, name }) => ({ value: id, label: name })),
          ]}
        />
        {whose.sensor === newLogger && (
          <>
            <TextField
              label={say('Name of the logger')}
              field="name"
              maxLength={60}
              value={whose.name}
              onValue={(name) => onWhose(index, { ...whose, name })}
            />
            <ChoiceField
              label={say('Where it was')}
              field="place"
              value={whose.place}
              onValue={(place) => onWhose(index, { ...whose, place })}
              choices={places}
            />
          </>
        )}
      </fieldset>
    )
  })
}
