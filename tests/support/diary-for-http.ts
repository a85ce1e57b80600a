import BetterSqlite from 'better-sqlite3'
import { openDiary } from '../../daemon/app/diary.ts'
import type { DiaryWorld } from '../../daemon/app/diary-rules.ts'
import type { DiaryDesk } from '../../daemon/ports/season.ts'
import { sqliteDiary } from '../../daemon/sqlite/diary.ts'
import { migrations } from '../../daemon/sqlite/migrations.ts'

/** The diary part of the desk over HTTP: the real one, over a database in memory. */
export function diaryForHttp(world: Omit<DiaryWorld, 'diary'>): DiaryDesk {
  const db = new BetterSqlite(':memory:')
  for (const migration of migrations) db.exec(migration)
  return openDiary({ ...world, diary: sqliteDiary(db) })
}
