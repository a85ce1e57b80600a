import type { KeepingNow } from '../../schemas/keeping.ts'
import type { Instant } from '../../schemas/units.ts'
import type { MetricFacts, ReadingCounts } from './facts.ts'
import { type Family, measured, single, truth } from './family.ts'

/** What the daemon itself is and does. */
export function daemonFamilies(facts: MetricFacts): readonly Family[] {
  const { now, program, outbox, keeping } = facts
  return [
    {
      name: 'brumal_build',
      type: 'info',
      help: 'The program and what it runs on.',
      samples: [{ labels: { version: program.version, node: program.node }, value: 1 }],
    },
    single('gauge', 'brumal_practice', '1 while the invented household runs.', truth(facts.isPractice)),
    measured(
      'brumal_start_time',
      'seconds',
      'When the daemon was started, in seconds since 1970.',
      program.startedAt / 1000,
    ),
    measured(
      'brumal_event_loop_lag',
      'seconds',
      'The longest that work was held up in the last minute or two.',
      program.loopLag / 1000,
    ),
    single('gauge', 'brumal_broker_up', '1 while sensors can be heard.', truth(facts.broker === 'up')),
    ...readingFamilies(facts.readings),
    single('gauge', 'brumal_outbox_waiting', 'Messages to people that are not sent yet.', outbox.waiting),
    measured(
      'brumal_outbox_oldest_age',
      'seconds',
      'How long the oldest message that waits has been waiting; 0 where none does.',
      outbox.oldest === null ? 0 : since(outbox.oldest, now),
    ),
    ...keepingFamilies(keeping, now),
    ...upstreamFamilies(keeping.upstream, now),
  ]
}

function readingFamilies(counts: ReadingCounts): readonly Family[] {
  const count = (name: string, help: string, value: number) => single('counter', name, help, value)
  return [
    count('brumal_readings_stored', 'Readings put into the database since the start.', counts.stored),
    count('brumal_readings_doubted', 'Readings that were stored and not believed.', counts.doubted),
    count('brumal_readings_late', 'Readings older than the newest of their sensor.', counts.late),
    count('brumal_readings_set_aside', 'Readings stamped ahead of the clock.', counts.setAside),
    count('brumal_readings_repeated', 'Readings of an instant that was known already.', counts.repeated),
    count('brumal_messages_heard', 'Messages from the broker of the house.', counts.messages),
    {
      name: 'brumal_messages_refused',
      type: 'counter',
      help: 'Messages that could not be taken, by the reason.',
      samples: Object.entries(counts.refused).map(([reason, value]) => ({ labels: { reason }, value })),
    },
  ]
}

function keepingFamilies({ database, disk, backups }: KeepingNow, now: Instant): readonly Family[] {
  const last = backups.list[0] ?? null
  return [
    measured('brumal_database', 'bytes', 'Size of the database file.', database.bytes),
    single(
      'gauge',
      'brumal_store_working',
      '1 while the disk takes what is to be kept.',
      truth(database.isOnDisk),
    ),
    single(
      'gauge',
      'brumal_readings_waiting',
      'Readings in memory that wait for the disk.',
      database.waiting,
    ),
    measured('brumal_disk_free', 'bytes', 'Room left on the disk of the database.', disk?.freeBytes ?? null),
    measured('brumal_disk_size', 'bytes', 'Size of the disk of the database.', disk?.totalBytes ?? null),
    measured(
      'brumal_backup_timestamp',
      'seconds',
      'When the newest backup was made, in seconds since 1970.',
      last === null ? null : last.at / 1000,
    ),
    measured(
      'brumal_backup_age',
      'seconds',
      'How old the newest backup is.',
      last === null ? null : since(last.at, now),
    ),
    measured('brumal_backup', 'bytes', 'Size of the newest backup.', last?.bytes ?? null),
  ]
}

/** Nothing where no broker elsewhere is set. */
function upstreamFamilies(upstream: KeepingNow['upstream'], now: Instant): readonly Family[] {
  if (upstream === undefined) return []
  const { name, waiting, sent, lastSentAt } = upstream
  return [
    single('gauge', 'brumal_upstream_up', '1 while the broker elsewhere is reached.', truth(name === 'up')),
    measured(
      'brumal_upstream_behind',
      'seconds',
      'Age of the oldest that is not passed on yet; 0 where nothing waits.',
      waiting.oldest === null ? 0 : since(waiting.oldest, now),
    ),
    {
      name: 'brumal_upstream_waiting',
      type: 'gauge',
      help: 'What is not passed on yet: new readings, older hours of one quantity of a sensor, changes of alarms.',
      samples: [
        { labels: { what: 'readings' }, value: waiting.readings },
        { labels: { what: 'hours' }, value: waiting.hours },
        { labels: { what: 'alarmChanges' }, value: waiting.alarmChanges },
      ],
    },
    {
      name: 'brumal_upstream_sent',
      type: 'counter',
      help: 'What was passed on and acknowledged since the start, repeats counted.',
      samples: [
        { labels: { what: 'readings' }, value: sent.readings },
        { labels: { what: 'alarmChanges' }, value: sent.alarmChanges },
      ],
    },
    measured(
      'brumal_upstream_sent_timestamp',
      'seconds',
      'When something was last acknowledged, in seconds since 1970.',
      lastSentAt === null ? null : lastSentAt / 1000,
    ),
  ]
}

const since = (at: Instant, now: Instant): number => Math.max(0, now - at) / 1000
