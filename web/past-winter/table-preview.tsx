import type { TableLook } from '../../schemas/import.ts'
import { say } from '../../shared/words/say.ts'
import { usePage } from '../page/use-page.ts'
import { type Role, roleNames, type Said } from './column-roles.ts'

/** The first rows as they stand, with a choice above each column and the time as it was understood. */
export function TablePreview({
  look,
  said,
  onRole,
}: {
  look: TableLook
  said: Said
  onRole: (index: number, role: Role) => void
}) {
  const { tell } = usePage()
  const isOpen = look.dayOrder === 'ambiguous' && said.dayOrder === ''
  const understood = (at: number | null): string => {
    if (isOpen) return say('day or month first?')
    return at === null ? say('no time') : `${tell.day(at, look.zone)} ${tell.clock(at, look.zone)}`
  }
  return (
    <div
      class="table-preview"
      role="region"
      tabIndex={0}
      aria-label={say('First rows of {file}', { file: look.file })}
    >
      <table>
        <thead>
          <tr>
            <th scope="col">{say('understood as')}</th>
            {look.columns.map(({ index, heading }) => (
              <th scope="col" key={index}>
                <label>
                  <span>{heading}</span>
                  <select
                    value={said.roles[index] ?? 'out'}
                    onChange={(event) => onRole(index, event.currentTarget.value as Role)}
                  >
                    {Object.entries(roleNames).map(([role, name]) => (
                      <option key={role} value={role}>
                        {name}
                      </option>
                    ))}
                  </select>
                </label>
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {look.rows.map(({ line, cells, at }) => (
            <tr key={line}>
              <th scope="row">{understood(at)}</th>
              {look.columns.map(({ index }) => (
                <td key={index} class={said.roles[index] === 'out' ? 'is-left-out' : undefined}>
                  {cells[index] ?? ''}
                </td>
              ))}
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  )
}
