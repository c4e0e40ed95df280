/* CxF3 (ISO 17972-1), read as a stream. A spectrum's wavelengths stand in the colour specification
 * it names, which comes later in the file; so samples are gathered first and their points placed at
 * the end. Any document type declaration is refused, and with it all entities of one's own; the
 * parser loads nothing, and its own limits of depth and size stay in force. */
#include <libxml/xmlreader.h>
#include <limits.h>
#include <string.h>

#include "wire/mdr_cxf_in.h"
#include "wire/mdr_real.h"

static const char NAMESPACE[] = "http://colorexchangeformat.com/CxF3-core";
enum { TEXT_MAX = 64 * 1024, VALUES_MAX = 2000 };

/* The object that is being read. */
typedef struct object {
    const char *name, *id, *kind;
    int line, number;
} object;

typedef struct document {
    mdr_spectra_build *b;
    mdr_cxf *all; /* what has been read */
    xmlTextReaderPtr reader;
    object now;
    mdr_cxf_waiting *spectrum, *lab; /* being read, or NULL */
    mdr_cxf_spec *spec;              /* being read, or NULL */
    const char *text_of;             /* the element whose text is being gathered, or NULL */
    double point_nm;                 /* of a SpectralPoint */
    int n_objects;
    bool root_seen, stop;
    size_t text_len;
    char text[TEXT_MAX];
} document;

/* Of the element, not of where the parser has got to. */
static int line_of(const document *d)
{
    const xmlNode *node = xmlTextReaderCurrentNode(d->reader);
    const long line = node == NULL ? 0 : xmlGetLineNo(node);
    return line > 0 && line < INT_MAX ? (int)line : xmlTextReaderGetParserLineNumber(d->reader);
}

static void fault(document *d, const char *text, const char *message)
{
    mdr_build_fault(d->b, MDR_E_PARSE, line_of(d), 0, text, text == NULL ? 0 : strlen(text),
                    message);
}

/* A copy of the attribute in the arena; "" when it is not there. */
static const char *attribute(document *d, const char *name)
{
    xmlChar *value = xmlTextReaderGetAttribute(d->reader, (const xmlChar *)name);
    if (value == NULL) {
        return "";
    }
    const char *copy = mdr_build_text(d->b, (const char *)value, strlen((const char *)value));
    xmlFree(value);
    return copy;
}

/* 0 when it is not there; what is there must be a number. */
static double number_attribute(document *d, const char *name)
{
    const char *text = attribute(d, name);
    double value = 0.0;
    if (text[0] != '\0' && !mdr_real_read(text, strlen(text), &value)) {
        fault(d, text, "this is no number");
    }
    return value;
}

/* -- elements --------------------------------------------------------------------------------- */

static mdr_cxf_waiting *wait_for_spec(document *d)
{
    mdr_cxf_waiting *w = MDR_NEW(d->b->arena, mdr_cxf_waiting);
    mdr_sample *s = w == NULL ? NULL : mdr_build_sample(d->b, d->now.line);
    if (w == NULL || s == NULL) {
        d->b->no_memory = true;
        return NULL;
    }
    s->name = d->now.name;
    s->id = d->now.id;
    s->kind = d->now.kind;
    w->sample = s;
    w->refers = attribute(d, "ColorSpecification");
    w->object = d->now.number;
    if (d->all->last != NULL) {
        d->all->last->next = w;
    } else {
        d->all->first = w;
    }
    d->all->last = w;
    return w;
}

static void begin_spectrum(document *d, bool custom)
{
    d->spectrum = wait_for_spec(d);
    if (d->spectrum != NULL) {
        d->spectrum->is_custom = custom;
        d->spectrum->start_nm = number_attribute(d, "StartWL");
    }
}

static void begin_spec(document *d)
{
    if (d->all->n_specs == MDR_CXF_SPECS_MAX) {
        fault(d, NULL, "more than 1000 colour specifications");
        d->stop = true;
        return;
    }
    d->spec = &d->all->specs[d->all->n_specs++];
    *d->spec = (mdr_cxf_spec){.id = attribute(d, "Id"), .condition = ""};
}

static void gather(document *d, const char *element)
{
    d->text_of = element;
    d->text_len = 0;
}

static void begin_of_object(document *d, const char *name)
{
    if (strcmp(name, "ReflectanceSpectrum") == 0) {
        begin_spectrum(d, false);
        gather(d, "ReflectanceSpectrum");
    } else if (strcmp(name, "CustomSpectrum") == 0) {
        begin_spectrum(d, true);
    } else if (strcmp(name, "SpectralPoint") == 0 && d->spectrum != NULL) {
        d->point_nm = number_attribute(d, "WL");
        gather(d, "SpectralPoint");
    } else if (strcmp(name, "ColorCIELab") == 0) {
        d->lab = wait_for_spec(d);
        if (d->lab != NULL) {
            d->lab->is_lab = true;
        }
    } else if (d->lab != NULL) {
        gather(d, strcmp(name, "L") == 0   ? "L"
                  : strcmp(name, "A") == 0 ? "A"
                  : strcmp(name, "B") == 0 ? "B"
                                           : NULL);
    }
}

static void begin_of_spec(document *d, const char *name)
{
    static const char *const TEXTS[] = {"Illuminant",
                                        "Observer",
                                        "MeasurementType",
                                        "SphereGeometry",
                                        "SphereGeometryConfiguration",
                                        "DeviceIllumination"};
    if (strcmp(name, "WavelengthRange") == 0) {
        d->spec->start_nm = number_attribute(d, "StartWL");
        d->spec->increment_nm = number_attribute(d, "Increment");
    } else if (strcmp(name, "SingleAngle") == 0) {
        d->spec->specular = MDR_SPECULAR_NONE;
    }
    for (size_t i = 0; i < sizeof TEXTS / sizeof TEXTS[0]; i++) {
        if (strcmp(name, TEXTS[i]) == 0) {
            gather(d, TEXTS[i]);
        }
    }
}

static void begin_element(document *d, const char *name)
{
    if (strcmp(name, "Object") == 0) {
        d->n_objects++;
        d->now = (object){attribute(d, "Name"), attribute(d, "Id"), attribute(d, "ObjectType"),
                          line_of(d), d->n_objects};
    } else if (strcmp(name, "ColorSpecification") == 0) {
        begin_spec(d);
    } else if (d->spec != NULL) {
        begin_of_spec(d, name);
    } else if (d->now.name != NULL) {
        begin_of_object(d, name);
    }
}

/* -- texts ------------------------------------------------------------------------------------ */

/* The text without blanks around it; returns its length. */
static size_t trimmed(const document *d, const char **text)
{
    size_t from = 0, to = d->text_len;
    while (from < to && strchr(" \t\r\n", d->text[from]) != NULL) {
        from++;
    }
    while (to > from && strchr(" \t\r\n", d->text[to - 1]) != NULL) {
        to--;
    }
    *text = d->text + from;
    return to - from;
}

static void values_of_text(document *d)
{
    size_t at = 0;
    for (int k = 0;; k++) {
        while (at < d->text_len && strchr(" \t\r\n", d->text[at]) != NULL) {
            at++;
        }
        size_t end = at;
        while (end < d->text_len && strchr(" \t\r\n", d->text[end]) == NULL) {
            end++;
        }
        double v = 0.0;
        if (end == at) {
            return;
        }
        if (k == VALUES_MAX || !mdr_real_read(d->text + at, end - at, &v)) {
            mdr_build_fault(d->b, MDR_E_PARSE, line_of(d), 0, d->text + at, end - at,
                            k == VALUES_MAX ? "too many values" : "this is no number");
            return;
        }
        /* wavelengths come with the mdr_cxf_spec; until then the place in the row stands for them */
        mdr_build_point(d->b, d->spectrum->sample,
                        (mdr_sample_point){MDR_SPECTRUM_LEAST_NM, v, line_of(d), 0});
        at = end;
    }
}

static bool number_of_text(document *d, double *out)
{
    const char *text = d->text;
    const size_t len = trimmed(d, &text);
    if (mdr_real_read(text, len, out)) {
        return true;
    }
    mdr_build_fault(d->b, MDR_E_PARSE, line_of(d), 0, text, len, "this is no number");
    return false;
}

static void text_in_object(document *d, const char *element)
{
    double v = 0.0;
    if (d->spectrum != NULL && strcmp(element, "ReflectanceSpectrum") == 0) {
        values_of_text(d);
    } else if (d->spectrum != NULL && strcmp(element, "SpectralPoint") == 0) {
        if (number_of_text(d, &v)) {
            mdr_build_point(d->b, d->spectrum->sample,
                            (mdr_sample_point){d->point_nm, v, line_of(d), 0});
        }
    } else if (d->lab != NULL && number_of_text(d, &v)) {
        mdr_lab *lab = &d->lab->sample->lab;
        *(element[0] == 'L' ? &lab->l : element[0] == 'A' ? &lab->a : &lab->b) = v;
    }
}

static void text_in_spec(document *d, const char *element)
{
    mdr_cxf_spec *s = d->spec;
    const char *text = d->text;
    const size_t len = trimmed(d, &text);
    if (strcmp(element, "Illuminant") == 0) {
        s->has_illuminant = mdr_illuminant_of_name(text, len, &s->illuminant, NULL) == MDR_OK;
    } else if (strcmp(element, "Observer") == 0) {
        s->has_observer = mdr_observer_of_text(text, len, &s->observer);
    } else if (strcmp(element, "DeviceIllumination") == 0) {
        s->condition = mdr_build_text(d->b, text, len);
    } else if (strcmp(element, "MeasurementType") == 0) {
        s->not_reflectance = len > 0 && !mdr_same_word(text, len, "Spectrum_Reflectance") &&
                             !mdr_same_word(text, len, "Colorimetric_Reflectance");
    } else {
        const mdr_specular specular = mdr_specular_of_text(text, len);
        s->specular = specular != MDR_SPECULAR_UNKNOWN ? specular : s->specular;
    }
}

static void end_element(document *d, const char *name)
{
    if (d->text_of != NULL && strcmp(name, d->text_of) == 0) {
        if (d->spec != NULL) {
            text_in_spec(d, d->text_of);
        } else {
            text_in_object(d, d->text_of);
        }
        d->text_of = NULL;
    }
    if (strcmp(name, "Object") == 0) {
        d->now = (object){.name = NULL};
    } else if (strcmp(name, "ColorSpecification") == 0) {
        d->spec = NULL;
    } else if (strcmp(name, "ReflectanceSpectrum") == 0 || strcmp(name, "CustomSpectrum") == 0) {
        d->spectrum = NULL;
    } else if (strcmp(name, "ColorCIELab") == 0) {
        d->lab = NULL;
    }
}

static void add_text(document *d)
{
    const xmlChar *value = xmlTextReaderConstValue(d->reader);
    if (d->text_of == NULL || value == NULL) {
        return;
    }
    const size_t n = strlen((const char *)value);
    if (n > TEXT_MAX - d->text_len) {
        fault(d, NULL, "an element's text is longer than 64 KiB");
        d->stop = true;
        return;
    }
    memcpy(d->text + d->text_len, value, n);
    d->text_len += n;
}

/* -- the parser ------------------------------------------------------------------------------- */

static void on_error(void *to, xmlErrorPtr error)
{
    document *d = to;
    if (error == NULL || error->level < XML_ERR_ERROR || d->b->faults > 0) {
        return;
    }
    const char *text = error->message == NULL ? "" : error->message;
    mdr_build_fault(d->b, MDR_E_PARSE, error->line, error->int2, text, strcspn(text, "\n"),
                    "the XML is not well-formed");
}

static bool check_root(document *d, const char *name)
{
    const xmlChar *space = xmlTextReaderConstNamespaceUri(d->reader);
    if (strcmp(name, "CxF") != 0 || space == NULL || strcmp((const char *)space, NAMESPACE) != 0) {
        fault(d, name, "this XML is not CxF3");
        return false;
    }
    d->root_seen = true;
    return true;
}

static bool one_node(document *d)
{
    const int type = xmlTextReaderNodeType(d->reader);
    const xmlChar *xml_name = xmlTextReaderConstLocalName(d->reader);
    const char *name = xml_name == NULL ? "" : (const char *)xml_name;
    if (type == XML_READER_TYPE_DOCUMENT_TYPE || type == XML_READER_TYPE_ENTITY_REFERENCE) {
        fault(d, name, "document types and entities are not taken");
        return false;
    }
    if (type == XML_READER_TYPE_ELEMENT) {
        if (!d->root_seen) {
            return check_root(d, name);
        }
        begin_element(d, name);
        if (xmlTextReaderIsEmptyElement(d->reader) == 1) {
            end_element(d, name);
        }
    } else if (type == XML_READER_TYPE_END_ELEMENT) {
        end_element(d, name);
    } else if (type == XML_READER_TYPE_TEXT || type == XML_READER_TYPE_CDATA ||
               type == XML_READER_TYPE_SIGNIFICANT_WHITESPACE) {
        add_text(d);
    }
    return !d->stop && !d->b->no_memory;
}

/* Before the parser sees it: an expanding entity must not even be declared. */
static bool has_doctype(mdr_spectra_build *b, const char *text, size_t len)
{
    static const char *const BANNED[] = {"<!DOCTYPE", "<!ENTITY"};
    int line = 1;
    for (size_t i = 0; i < len; i++) {
        line += text[i] == '\n';
        for (int k = 0; k < 2; k++) {
            const size_t n = strlen(BANNED[k]);
            if (text[i] == '<' && len - i >= n && memcmp(text + i, BANNED[k], n) == 0) {
                mdr_build_fault(b, MDR_E_PARSE, line, 0, BANNED[k], n,
                                "document types and entities are not taken");
                return true;
            }
        }
    }
    return false;
}

void mdr_spectra_read_cxf(mdr_spectra_build *b, const char *text, size_t len)
{
    if (has_doctype(b, text, len)) {
        return;
    }
    document *d = MDR_NEW(b->arena, document);
    mdr_cxf *all = MDR_NEW(b->arena, mdr_cxf);
    const int options = XML_PARSE_NONET | XML_PARSE_NOERROR | XML_PARSE_NOWARNING |
                        XML_PARSE_NOCDATA | XML_PARSE_BIG_LINES;
    /* files in UTF-8 only: another encoding could hide what has_doctype looks for */
    xmlTextReaderPtr reader = d == NULL || all == NULL
                                  ? NULL
                                  : xmlReaderForMemory(text, (int)len, NULL, "UTF-8", options);
    if (d == NULL || all == NULL || reader == NULL) {
        b->no_memory = true;
        return;
    }
    d->b = all->b = b;
    d->all = all;
    d->reader = reader;
    xmlTextReaderSetStructuredErrorHandler(reader, on_error, d);
    int more = xmlTextReaderRead(reader);
    while (more == 1 && one_node(d)) {
        more = xmlTextReaderRead(reader);
    }
    if (more < 0 && b->faults == 0) {
        fault(d, NULL, "the XML is not well-formed");
    }
    xmlFreeTextReader(reader);
    d->reader = NULL;
    if (b->faults == 0 && !b->no_memory) {
        mdr_cxf_join(all);
    }
}
