// Reads an Intel HEX image (record types 00 and 01, and 02/04 with zero base, which is all that 32 KiB needs).

/** Bytes from address 0; gaps are FF as in erased flash. Throws an Error naming the line on any damage. */
export function readIntelHex(text: string, flashBytes = 32_768): Uint8Array {
  const flash = new Uint8Array(flashBytes).fill(0xff);
  let ended = false;
  for (const [index, raw] of text.split('\n').entries()) {
    const line = raw.trim();
    if (line === '') continue;
    const complain = (what: string) => new Error(`firmware image, line ${index + 1}: ${what}`);
    if (ended) throw complain('there is text after the end record');
    if (!/^:([0-9A-Fa-f]{2}){5,}$/.test(line)) throw complain('not an Intel HEX record');
    const bytes = Buffer.from(line.slice(1), 'hex');
    const type = bytes.readUInt8(3);
    if (bytes.length !== bytes.readUInt8(0) + 5) throw complain('its length byte does not match');
    if (bytes.reduce((sum, byte) => sum + byte, 0) % 256 !== 0) throw complain('its checksum does not match');
    const address = bytes.readUInt16BE(1);
    const data = bytes.subarray(4, -1);
    if (type === 0) {
      if (address + data.length > flashBytes)
        throw complain(`address ${address} is beyond the flash of ${flashBytes} bytes`);
      flash.set(data, address);
    } else if (type === 1) ended = true;
    else if (!((type === 2 || type === 4) && data.every((byte) => byte === 0)))
      throw complain(`record type ${type} is not used by this chip`);
  }
  if (!ended) throw new Error('firmware image: the end record is missing, so the file is cut off');
  return flash;
}
