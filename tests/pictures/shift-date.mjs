// Plain JavaScript: a daemon that was built imports it before anything else (`node --import`), and so does no other.
// This process's calendar clock stands PICTURES_SHIFT_MS milliseconds from the machine's, and runs on from there.
const shift = Number(process.env['PICTURES_SHIFT_MS'] ?? 0)
const Real = Date

globalThis.Date = class extends Real {
  constructor(...given) {
    if (given.length === 0) super(Real.now() + shift)
    else super(...given)
  }

  static now() {
    return Real.now() + shift
  }
}
