/** Bytes being written: whole numbers take 7 bits a byte, lowest first, the top bit says that more follow. */
export class ByteWriter {
  readonly #buffer: Buffer
  #length = 0

  constructor(capacity: number) {
    this.#buffer = Buffer.allocUnsafe(capacity)
  }

  byte(value: number): void {
    this.#buffer[this.#length++] = value
  }

  /** From 0 to 2^53 − 1. */
  whole(value: number): void {
    let rest = value
    while (rest > 0x7fff_ffff) {
      this.#buffer[this.#length++] = (rest % 128) | 128
      rest = Math.floor(rest / 128)
    }
    while (rest > 127) {
      this.#buffer[this.#length++] = (rest & 127) | 128
      rest >>>= 7
    }
    this.#buffer[this.#length++] = rest
  }

  /** From −2^52 to 2^52 − 1; small ones of either sign stay short: 0, −1, 1, −2 become 0, 1, 2, 3. */
  signed(value: number): void {
    this.whole(value < 0 ? -2 * value - 1 : 2 * value)
  }

  /** Eight bytes; −0 is written as 0. */
  double(value: number): void {
    this.#length = this.#buffer.writeDoubleLE(value + 0, this.#length)
  }

  bytes(): Buffer {
    return this.#buffer.subarray(0, this.#length)
  }
}

/** Reads what `ByteWriter` wrote, in the same order. */
export class ByteReader {
  readonly #buffer: Buffer
  #position = 0

  constructor(buffer: Buffer) {
    this.#buffer = buffer
  }

  byte(): number {
    const value = this.#buffer[this.#position++]
    if (value === undefined) throw new Error('block of readings ends early')
    return value
  }

  whole(): number {
    let value = 0
    let factor = 1
    for (;;) {
      const byte = this.byte()
      value += (byte & 127) * factor
      if (byte < 128) return value
      factor *= 128
    }
  }

  signed(): number {
    const folded = this.whole()
    return folded % 2 === 0 ? folded / 2 : -(folded + 1) / 2
  }

  double(): number {
    const value = this.#buffer.readDoubleLE(this.#position)
    this.#position += 8
    return value
  }
}
