// Which image and which circuit a rig has, in words.

/** `firmware 1.2.0, hardware 2`; without the hardware where the board does not tell it. */
export const revisionWords = ({
  firmwareVersion,
  hardwareRevision,
}: {
  firmwareVersion: string;
  hardwareRevision?: number;
}): string =>
  `firmware ${firmwareVersion}${hardwareRevision === undefined ? '' : `, hardware ${hardwareRevision}`}`;
