import { existsSync } from 'node:fs'
import { join } from 'node:path'
import { createInterface } from 'node:readline'
import { Writable } from 'node:stream'
import { Password } from '../../schemas/person.ts'
import { hashPassword } from '../http/doors/password.ts'
import type { Clock } from '../ports/clock.ts'
import type { StoredPerson } from '../ports/people.ts'
import type { RandomBytes } from '../ports/seal.ts'
import { journalTable } from '../sqlite/journal.ts'
import { databaseName, openDatabase } from '../sqlite/open.ts'
import { sqlitePeople } from '../sqlite/people.ts'

/**
 * Gives a person (the only keeper, when no name is said) a new password and ends their sessions. Works whether or not
 * the daemon runs. Asks on a terminal, unseen; otherwise takes the first line of `input`. Returns the exit code.
 */
export async function resetPassword(
  folder: string,
  name: string | undefined,
  world: {
    readonly clock: Clock
    readonly random: RandomBytes
    readonly input: NodeJS.ReadStream
    readonly out: (text: string) => void
  },
): Promise<number> {
  if (!existsSync(join(folder, databaseName))) throw new Error(`nobody can sign in to ${folder} yet`)
  const db = openDatabase(folder)
  try {
    const people = sqlitePeople(db)
    const person = choose(people.people(), name)
    const given = await ask(`New password for ${person.name}: `, world.input, world.out)
    const password = Password.safeParse(given)
    if (!password.success) throw new Error(`the password is unchanged: ${password.error.issues[0]?.message}`)
    const passwordHash = await hashPassword(password.data, world.random)
    const said = { at: world.clock.now(), kind: 'passwordChanged', by: 'brumal' } as const
    db.transaction(() => {
      people.savePerson({ ...person, passwordHash })
      people.endSessionsOf(person.id)
      journalTable(db).add({ ...said, text: `New password for ${person.name} from the console.` })
    }).immediate()
    world.out(`${person.name} has a new password and is signed out everywhere.\n`)
    return 0
  } finally {
    db.close()
  }
}

function choose(people: readonly StoredPerson[], name: string | undefined): StoredPerson {
  const fitting = people.filter((person) =>
    name === undefined ? person.role === 'keeper' : person.name === name,
  )
  const [person] = fitting
  if (person !== undefined && fitting.length === 1) return person
  const names = people.map((each) => each.name).join(', ')
  if (people.length === 0)
    throw new Error('nobody can sign in yet: start Brumal and use the set-up code it prints')
  throw new Error(
    name === undefined ? `say for whom: --name, one of ${names}` : `there is no ${name} among ${names}`,
  )
}

/** One line. On a terminal what is typed is not shown. */
function ask(question: string, input: NodeJS.ReadStream, out: (text: string) => void): Promise<string> {
  if (input.isTTY) out(question)
  const unseen = new Writable({ write: (_chunk, _encoding, done) => done() })
  const lines = createInterface({ input, output: unseen, terminal: input.isTTY })
  return new Promise((resolve) => {
    lines.once('line', (line) => {
      resolve(line)
      lines.close()
    })
    lines.once('close', () => {
      if (input.isTTY) out('\n')
      resolve('') // the input ended without a line
    })
  })
}
