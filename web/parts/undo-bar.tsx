import { usePage } from '../page/use-page.ts'
import { held } from '../words/held.ts'
import { say } from '../../shared/words/say.ts'

/** What was removed, with the way back. Stays until it is used, dismissed or replaced. */
export function UndoBar() {
  const { undo } = usePage()
  const offered = undo.value
  return (
    <div class="undo" role="status">
      {offered !== null && (
        <p>
          {held(offered.sentence)}
          {offered.undo !== null && (
            <button
              type="button"
              onClick={() => {
                undo.value = null
                void offered.undo?.()
              }}
            >
              {say('Undo')}
            </button>
          )}
          <button type="button" class="quiet" onClick={() => (undo.value = null)}>
            {say('Dismiss')}
          </button>
        </p>
      )}
    </div>
  )
}
