// Packages that stay outside of the bundled program and are installed beside it.

/** Native add-ons, what finds its files by its own place, what has a licence of its own. */
export const APART: readonly string[] = [
  ...['better-sqlite3', 'serialport'],
  ...['pdfkit', 'svg-to-pdfkit', 'bwip-js', 'dejavu-fonts-ttf', 'elkjs'],
];
