// @ts-check
// The archives that the build packs: a zip file that stores its members as they are, compressed as a whole with gzip.

const MEMBER = 0x04034b50;
const HEAD = 30;
const SIZE = 18;
const NAME_LENGTH = 26;
const EXTRA_LENGTH = 28;

/**
 * Undo the compression; a damaged archive fails its own check sum.
 * @param {ArrayBuffer} packed
 */
export async function opened(packed) {
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

/**
 * The members of an archive, in its order, without copying them.
 * @param {Uint8Array} archive
 * @returns {Generator<[name: string, content: Uint8Array]>}
 */
export function* members(archive) {
  const view = new DataView(archive.buffer, archive.byteOffset, archive.byteLength);
  const text = new TextDecoder();
  for (let at = 0; view.getUint32(at, true) === MEMBER; ) {
    const start = at + HEAD;
    const name = start + view.getUint16(at + NAME_LENGTH, true);
    const content = name + view.getUint16(at + EXTRA_LENGTH, true);
    const end = content + view.getUint32(at + SIZE, true);
    yield [text.decode(archive.subarray(start, name)), archive.subarray(content, end)];
    at = end;
  }
}
