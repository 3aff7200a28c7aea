// The zone of the bench beside the instant: an instant is UTC, and what stood on the wall is told from both.

export interface BenchZone {
  /** Name of the time zone database, such as Europe/Vienna. */
  zone: string;
  /** What the bench's clock is ahead of UTC at that instant, min. */
  utcOffsetMin: number;
}

export const benchZone = (at: Date = new Date()): BenchZone => ({
  zone: Intl.DateTimeFormat().resolvedOptions().timeZone,
  utcOffsetMin: 0 - at.getTimezoneOffset(),
});
