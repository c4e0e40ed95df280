#include <qrencode.h>

#include "card/mdr_doc.h"

enum { QUIET = 4 }; /* modules; ISO/IEC 18004:2015, 6.3.8 */

static QRcode *encode(const char *text)
{
    return QRcode_encodeString8bit(text, 0, QR_ECLEVEL_M);
}

double mdr_ink_qr_side(const char *text, double module_pt)
{
    QRcode *code = encode(text);
    if (code == NULL) {
        return 0.0;
    }
    const double side = (double)(code->width + 2 * QUIET) * module_pt;
    QRcode_free(code);
    return side;
}

void mdr_ink_qr(mdr_doc *doc, const char *text, double x, double y, double module_pt)
{
    QRcode *code = doc->dry ? NULL : encode(text);
    if (code == NULL) {
        return;
    }
    cairo_set_source_rgb(doc->cr, 0.0, 0.0, 0.0);
    for (int row = 0; row < code->width; row++) {
        for (int col = 0; col < code->width; col++) {
            if ((code->data[row * code->width + col] & 1u) != 0) {
                cairo_rectangle(doc->cr, x + (double)(col + QUIET) * module_pt,
                                y + (double)(row + QUIET) * module_pt, module_pt, module_pt);
            }
        }
    }
    cairo_fill(doc->cr); /* one path: no hair lines between the modules */
    QRcode_free(code);
}
