// Reads the text of a list's file. Spreadsheets write UTF-8, UTF-16 or, in western Europe, Windows-1252.

/** @param {Blob} file */
export async function fileText(file) {
  const bytes = new Uint8Array(await file.arrayBuffer());
  const [first, second] = bytes;
  if (first === 0xff && second === 0xfe) return new TextDecoder('utf-16le').decode(bytes);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder('windows-1252').decode(bytes);
  }
}
