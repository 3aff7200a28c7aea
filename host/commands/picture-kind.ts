// Which sort of picture a file is, by its first bytes alone: what cameras and phones write.

interface PictureKind {
  /** The usual one first. */
  extensions: readonly string[];
  /** Of its bytes in hexadecimal. */
  begins: RegExp;
}

/**
 * JPEG: SOI and a further marker (ITU-T T.81, B.1.1.3); PNG: its signature (W3C PNG, 5.2); GIF: GIF89a, 17; WebP: RFC 9649;
 * HEIF, AVIF: brands of the ftyp box (ISO/IEC 14496-12, 4.3; 23008-12); TIFF 6.0, section 2, which raw files of cameras follow.
 */
const KINDS: readonly PictureKind[] = [
  { extensions: ['.jpg', '.jpeg', '.jpe', '.jfif'], begins: /^ffd8ff/ },
  { extensions: ['.png'], begins: /^89504e470d0a1a0a/ },
  { extensions: ['.gif'], begins: /^474946383[79]61/ },
  { extensions: ['.webp'], begins: /^52494646.{8}57454250/ },
  { extensions: ['.avif'], begins: /^.{8}66747970617669(66|73)/ },
  { extensions: ['.heic', '.heif', '.hif'], begins: /^.{8}66747970(6865(69|76)(63|6d|73|78)|6d(69|73)6631)/ },
  { extensions: ['.tif', '.tiff', '.dng', '.nef', '.cr2', '.arw'], begins: /^(49492a00|4d4d002a)/ },
  // Size of the file, four zeros, where the picture begins: a text that starts with BM has letters there.
  { extensions: ['.bmp'], begins: /^424d.{8}0{8}/ },
];
const LONGEST = 16;

/** What a person may be asked for. */
export const PICTURES_TAKEN = 'JPEG, PNG, HEIC, WebP, AVIF, GIF, TIFF or BMP';

/**
 * The ending that the kept file gets: that of `name` where it is one of the sort, else the usual one.
 * @returns undefined for what is no picture
 */
export function pictureExtension(bytes: Uint8Array, name: string): string | undefined {
  const begin = Buffer.from(bytes.subarray(0, LONGEST)).toString('hex');
  const kind = KINDS.find(({ begins }) => begins.test(begin));
  const given = /\.[a-z0-9]+$/.exec(name.toLowerCase())?.[0];
  return kind?.extensions.find((one) => one === given) ?? kind?.extensions[0];
}
