import { foldedBack } from '../../geometry/fold-pattern.js';
import type { Packet } from '../../stages/packet/packet.js';
import { drawEntries, drawOtherFolds, drawPacket, writePacket } from './packet-drawing.js';
import type { Template } from './template.js';
import { printTrueSize } from './true-size.js';
import { printable, sizeInWords } from './wording.js';

/** How the packet's drawing is read. */
const MARKS =
  'Dark line: cut through all layers. Blue arrow: the blade enters here. Number: the order. Heavy dashes: fold. Dots: open edges. Grey falls out.';
const CAUTIONS =
  'Blades cut fingers: hold the packet beside the cut. No heat on spunbonded sheet or folded layers. Follow your tool’s manual and local rules.';

/** The folded packet at true size where it lies on the sheet, to be laid on it or traced; the sheet is outlined round it. */
export async function packetTemplatePdf(template: Template, packet: Packet): Promise<Uint8Array> {
  const { name, says = '', sheet } = template;
  const heading = `${printable(name, 'Stencil')}${says}, folded: ${packet.layers} layers`;
  const notes = { name: heading, size: sizeInWords(sheet), marks: MARKS, cautions: CAUTIONS };
  const title = `${name}${says}, folded`;
  return printTrueSize(
    { ...template, ...brokenOnPacket(template, packet), title, notes },
    {
      lines: (pdf) => {
        drawOtherFolds(pdf, packet);
        drawPacket(pdf, packet);
        drawEntries(pdf, packet);
      },
      letters: (pdf) => writePacket(pdf, packet),
    },
  );
}

/** What is broken, where it lies in the packet: a place on the opened sheet is folded back onto it. */
function brokenOnPacket({ broken }: Template, { pattern }: Packet): Pick<Template, 'broken'> {
  if (!broken) return {};
  const at = broken.at.map((place) => foldedBack(pattern, place.x, place.y) ?? place);
  return { broken: { ...broken, at } };
}
