export { PdfLetterWriter } from './pdf-letter-writer.js';
export {
  drawBarrier,
  type BarrierDrawing,
  type DrawnLabel,
  type DrawnLine,
  type DrawnText,
} from './barrier-drawing.js';
