/** The waveform file: 16 bytes of head (`BRPK`, version, ms of a bin, number of bins, 0), then lowest and highest of each bin. No DOM. */

const HEAD = 16;
const FULL = 127;
const VERSION = 1;

/** A function (startMs, endMs) -> 0..1, the largest swing in that stretch; null when the bytes are not such a file. */
export function readPeaks(bytes) {
  if (bytes.byteLength < HEAD) return null;
  const head = new DataView(bytes);
  const name = String.fromCharCode(...new Uint8Array(bytes, 0, 4));
  const binMs = head.getUint16(6, true);
  const count = head.getUint32(8, true);
  if (name !== 'BRPK' || head.getUint16(4, true) !== VERSION || bytes.byteLength < HEAD + 2 * count) return null;
  const values = new Int8Array(bytes, HEAD, 2 * count);
  return (startMs, endMs) => {
    let most = 0;
    const last = Math.min(Math.max(Math.ceil(endMs / binMs), Math.floor(startMs / binMs) + 1), count);
    for (let bin = Math.floor(startMs / binMs); bin < last; bin++) most = Math.max(most, -values[2 * bin], values[2 * bin + 1]);
    return most / FULL;
  };
}
