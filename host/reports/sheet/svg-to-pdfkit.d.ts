// What is used of a library that brings no types.

declare module 'svg-to-pdfkit' {
  interface Options {
    width?: number;
    height?: number;
    preserveAspectRatio?: string;
    assumePt?: boolean;
    fontCallback?: (family: string, bold: boolean, italic: boolean) => string;
    warningCallback?: (warning: string) => void;
  }
  function SVGtoPDF(doc: PDFKit.PDFDocument, svg: string, x: number, y: number, options?: Options): void;
  export default SVGtoPDF;
}
