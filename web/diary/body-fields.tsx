import { useSignal } from '@preact/signals'
import type { DiaryNote, NoteOf } from '../../schemas/diary.ts'
import type { ConditionRule, Taxon } from '../../schemas/species.ts'
import { hasShell, lengthName } from '../words/animal-words.ts'
import { kilosFrom } from '../words/tell.ts'
import { Choices } from './choices.tsx'
import { decimalOf, gramsOf } from './decimal.ts'
import { NumberField } from './number-field.tsx'
import { say } from '../../shared/words/say.ts'

type OnNote = (note: DiaryNote | null) => void

export function WeighedFields({
  last,
  before,
  onNote,
}: {
  /** Its last mass, g. */
  last: number | null
  before: NoteOf<'weighed'> | null
  onNote: OnNote
}) {
  const isInKilos = (last ?? before?.grams ?? 0) >= kilosFrom
  const typed = useSignal(before === null ? '' : String(isInKilos ? before.grams / 1000 : before.grams))
  const box = useSignal<'dry' | 'wet' | null>(before?.box ?? null)
  const tellNote = (): void => {
    const grams = gramsOf(typed.value, isInKilos)
    const { box: _, ...rest } = before ?? { kind: 'weighed' as const }
    onNote(grams === null ? null : { ...rest, grams, ...(box.value !== null && { box: box.value }) })
  }
  return (
    <>
      <NumberField
        label={say('Mass')}
        unit={isInKilos ? 'kg' : 'g'}
        value={typed.value}
        onValue={(value) => {
          typed.value = value
          tellNote()
        }}
      />
      <Choices
        legend={say('Its box is')}
        value={box.value}
        options={[
          { value: 'dry', label: say('dry') },
          { value: 'wet', label: say('wet') },
        ]}
        onValue={(value) => {
          box.value = value
          tellNote()
        }}
      />
    </>
  )
}

type Side = 'length' | 'width' | 'height' | 'girth'

export function MeasuredFields({
  taxon,
  before,
  onNote,
}: {
  taxon: Taxon
  before: NoteOf<'measured'> | null
  onNote: OnNote
}) {
  const sides: readonly Side[] = hasShell(taxon) ? ['length', 'width', 'height'] : ['length', 'girth']
  const typed = useSignal<Partial<Record<Side, string>>>(
    Object.fromEntries(
      sides.flatMap((side) => (before?.[side] === undefined ? [] : [[side, String(before[side])]])),
    ),
  )
  return (
    <>
      {sides.map((side) => (
        <NumberField
          key={side}
          label={side === 'length' ? lengthName[taxon] : sideName[side]}
          unit="cm"
          {...(side === 'length' &&
            hasShell(taxon) && { hint: say('Straight from end to end, not along the curve.') })}
          value={typed.value[side] ?? ''}
          onValue={(value) => {
            typed.value = { ...typed.value, [side]: value }
            onNote(measuredNote(typed.value))
          }}
        />
      ))}
    </>
  )
}

const sideName: Record<Exclude<Side, 'length'>, string> = {
  width: say('Greatest width'),
  height: say('Greatest height'),
  girth: say('Girth'),
}

/** Null while nothing is typed, or something that is no length. */
function measuredNote(typed: Partial<Record<Side, string>>): DiaryNote | null {
  const said = Object.entries(typed).filter(([, text]) => text.trim() !== '')
  const lengths = said.map(([side, text]) => [side, decimalOf(text)] as const)
  const isWhole = lengths.length > 0 && lengths.every(([, value]) => value !== null && value > 0)
  return isWhole ? { kind: 'measured', ...Object.fromEntries(lengths) } : null
}

export function ScoredField({
  rules,
  before,
  onNote,
}: {
  rules: readonly ConditionRule[]
  before: NoteOf<'scored'> | null
  onNote: OnNote
}) {
  const valid = (['visualFive', 'visualNine'] as const).filter((rule) => rules.includes(rule))
  const scales = valid.length === 0 ? (['visualFive'] as const) : valid
  const scale = useSignal(before?.scale ?? scales[0] ?? 'visualFive')
  const score = useSignal<number | null>(before?.score ?? null)
  const most = scale.value === 'visualFive' ? 5 : 9
  const set = (next: number | null): void => {
    score.value = next
    onNote(next === null ? null : { kind: 'scored', scale: scale.value, score: next })
  }
  return (
    <>
      {scales.length > 1 && (
        <Choices
          legend={say('Scale')}
          value={scale.value}
          options={[
            { value: 'visualFive', label: say('1 to 5') },
            { value: 'visualNine', label: say('1 to 9') },
          ]}
          onValue={(value) => {
            scale.value = value ?? scale.value
            set(null)
          }}
        />
      )}
      <Choices
        isNumbers
        legend={
          most === 5
            ? say('By eye and touch: 1 bony, 3 ideal, 5 fat')
            : say('By eye and touch: 1 bony, 4 to 6 good, 9 fat')
        }
        value={score.value === null ? null : String(score.value)}
        options={Array.from({ length: most }, (_, i) => ({ value: String(i + 1), label: String(i + 1) }))}
        onValue={(value) => set(value === null ? null : Number(value))}
      />
    </>
  )
}
