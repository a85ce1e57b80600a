/** Whoever started the daemon and starts it again when it stops answering. */
export interface Supervisor {
  /** Judging has begun. */
  ready(): void
  /** Called at every tick; passed on as often as the supervisor asks. */
  alive(): void
  stopping(): void
}
