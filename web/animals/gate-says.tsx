import type { Animal } from '../../schemas/animal.ts'
import type { Gate, GateItem } from '../../schemas/season.ts'
import { pathOfNoting, pathOfPlace } from '../page/route.ts'
import { Link } from '../parts/link.tsx'
import { gateName, gateStandingName, notingForGate } from '../words/animal-words.ts'
import { isNotedKind, notingName } from '../words/diary-words.ts'
import { held } from '../words/held.ts'
import { SourcesList } from './sources-list.tsx'
import { say } from '../../shared/words/say.ts'

/** What is asked before it goes down, and what is missing (S1). */
export function GateSays({ gate, animal }: { gate: Gate | null; animal: Animal }) {
  if (gate === null) return null
  return (
    <section class="says" aria-labelledby="gate">
      <h2 id="gate">{say('Before it goes down')}</h2>
      <GateLines gate={gate} animal={animal} />
    </section>
  )
}

/** How many things are open, each with the way to mend it, and what is met behind a press. */
export function GateLines({ gate, animal }: { gate: Gate; animal: Animal }) {
  const open = gate.items.filter(({ standing }) => standing !== 'met')
  const met = gate.items.filter(({ standing }) => standing === 'met')
  return (
    <>
      <p>
        {gate.isOpen
          ? say('Nothing is missing: it may go down.')
          : say('{part} missing or against it.', {
              part: open.length === 1 ? say('One thing is') : say('{open} things are', { open: open.length }),
            })}
      </p>
      {open.length > 0 && (
        <ul class="judged">
          {open.map((item) => (
            <GateLine key={item.check} item={item} animal={animal} />
          ))}
        </ul>
      )}
      {met.length > 0 && (
        <details>
          <summary>{say('{met} met', { met: met.length })}</summary>
          <ul class="judged">
            {met.map((item) => (
              <GateLine key={item.check} item={item} animal={animal} />
            ))}
          </ul>
        </details>
      )}
      <SourcesList of={gate.items} />
    </>
  )
}

function GateLine({ item, animal }: { item: GateItem; animal: Animal }) {
  return (
    <li class="step">
      <p>
        <strong>{gateName[item.check]}</strong>{' '}
        <span class={item.standing === 'against' ? 'step-late' : 'soft'}>
          {gateStandingName[item.standing]}
        </span>
      </p>
      <p>{held(item.sentence)}</p>
      {item.standing !== 'met' && <WayToMeet item={item} animal={animal} />}
    </li>
  )
}

/** Where it is mended. */
function WayToMeet({ item, animal }: { item: GateItem; animal: Animal }) {
  const kind = notingForGate[item.check]
  if (kind !== null && isNotedKind(kind))
    return (
      <Link to={pathOfNoting(animal.id, kind)} class="button">
        {item.check === 'gut' ? say('Note a meal') : notingName[kind]}
      </Link>
    )
  switch (item.check) {
    case 'alarm':
      return (
        <Link to="/contacts" class="button">
          {say('Test an alarm')}
        </Link>
      )
    case 'place':
      return (
        <Link to={animal.place === null ? '/set-up' : pathOfPlace(animal.place)} class="button">
          {say('See its place')}
        </Link>
      )
    case 'cap':
      return (
        <Link to="/plan" class="button">
          {say('See the plan')}
        </Link>
      )
    case 'age':
    case 'kept':
    case 'profile':
      return (
        <Link to="/set-up" class="button">
          {say('Change under Set-up')}
        </Link>
      )
    default:
      return null
  }
}
