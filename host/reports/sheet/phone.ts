// A paper's page on a narrow screen: letters as large as a browser's own, tables one cell under the other, and pictures as
// large as on paper, moved sideways in their own frame. What is printed stays as it is.

export const VIEWPORT = '<meta name="viewport" content="width=device-width, initial-scale=1">';

/** Beneath this the page is wider than the screen: a sheet of A4 takes 703 points of a browser. */
const NARROW = 760;
/** Letters of a picture can be read from here on. */
const PICTURE = 680;

export const PHONE_STYLE = `
@media screen and (max-width: ${NARROW}px) {
  body { width: auto; padding: 8px 10px 24px; font-size: 15px; line-height: 1.35; overflow-wrap: break-word; }
  header { flex-wrap: wrap; gap: 8px; } .shop { text-align: left; white-space: normal; }
  .right { width: 100%; justify-content: space-between; }
  h2 { font-size: 15px; margin: 14px 0 4px; } .small, footer { font-size: 13px; line-height: 1.35; }
  .beside { flex-direction: column; } .beside table { width: 100%; }
  table { font-size: 15px; line-height: 1.35; table-layout: auto; } colgroup, thead { display: none; }
  table, tbody, tr, td { display: block; } tr { border-bottom: 1px solid #999; padding: 4px 0; }
  td, td.outcome, td.origin { border: 0; padding: 0; white-space: normal; text-align: left; overflow-wrap: break-word; }
  td:empty { display: none; } td.outcome { font-weight: bold; } td[data-head]::before { content: attr(data-head) ": "; color: #444; }
  .picture, .circuit { width: 100% !important; margin: 0 !important; overflow-x: auto; text-align: left; }
  .picture svg, .circuit svg { width: ${PICTURE}px !important; max-width: none; margin: 0; }
  .circuit p { position: sticky; left: 0; max-width: 90vw; }
  dl { display: block; font-size: 15px; } dd { margin: 0 0 4px; }
}
`;
