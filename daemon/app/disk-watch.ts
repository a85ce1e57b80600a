import { bytesWords } from '../../shared/telling/bytes-words.ts'
import type { DiskSpace } from '../ports/keeping.ts'
import { type OnStage, stageVoice } from './stage-voice.ts'
import { say } from '../../shared/words/say.ts'

/** Room must come back this far above the limit before it is well again, so that it does not tremble round it (L3). */
const wellFrom = 1.2

/** Looks how much room there is, and says when it gets too little. A machine that does not say is well. */
export function watchDisk(world: {
  readonly disk: DiskSpace
  readonly freeAtLeast: number
  readonly onStage: OnStage<'disk'>
}): { check(): void; room(): ReturnType<DiskSpace> } {
  const { freeAtLeast } = world
  const voice = stageVoice('disk', world.onStage)
  let isWell = true

  function room(): ReturnType<DiskSpace> {
    try {
      return world.disk()
    } catch {
      return null // a disk that cannot be asked is the store's to tell
    }
  }

  return {
    room,
    check() {
      const now = room()
      if (now === null) isWell = true
      else if (now.freeBytes < freeAtLeast) isWell = false
      else if (now.freeBytes >= freeAtLeast * wellFrom) isWell = true
      if (now === null) return voice(true, say('How much room is free is not known.'))
      const free = bytesWords(now.freeBytes)
      if (isWell) voice(true, say('{free} are free again on the disk of the data.', { free }))
      else voice(false, say('Only {free} are free on the disk of the data.', { free }))
    },
  }
}
