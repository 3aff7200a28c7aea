// CRC-16/CCITT-FALSE (CRC RevEng catalogue name: CRC-16/IBM-3740): polynomial 1021, start FFFF, not reflected, no final xor.

const TABLE = Uint16Array.from({ length: 256 }, (_, byte) => {
  let crc = byte << 8;
  for (let bit = 0; bit < 8; bit++) crc = crc & 0x8000 ? ((crc << 1) ^ 0x1021) & 0xffff : (crc << 1) & 0xffff;
  return crc;
});

/** CRC over the character codes of `text` (ASCII) up to `end`. */
export function crc16(text: string, end = text.length): number {
  let crc = 0xffff;
  for (let i = 0; i < end; i++)
    crc = ((crc << 8) & 0xffff) ^ TABLE[((crc >> 8) ^ text.charCodeAt(i)) & 0xff]!;
  return crc;
}

/** Four upper-case hexadecimal digits, as they stand at the end of a line. */
export function crcDigits(text: string): string {
  return crc16(text).toString(16).toUpperCase().padStart(4, '0');
}

/** Whether the last four characters are the CRC of all before them. */
export function hasValidCrc(line: string): boolean {
  const end = line.length - 4;
  return end > 0 && crcDigitsMatch(line, end, crc16(line, end));
}

function crcDigitsMatch(line: string, at: number, crc: number): boolean {
  for (let i = 0; i < 4; i++) {
    const nibble = (crc >> (12 - 4 * i)) & 0xf;
    if (line.charCodeAt(at + i) !== (nibble < 10 ? 48 + nibble : 55 + nibble)) return false;
  }
  return true;
}
