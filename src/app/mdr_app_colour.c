/* Questions about measured cloth: which one, and what the answers rest on. */
#include "app/mdr_app_colour.h"

#include "app/mdr_app_colour_in.h"

static const mdr_answer_why WHYS[MDR_COLOUR_WHY_COUNT] = {
    [MDR_COLOUR_WHY_SPECTRUM] = {"Between the points",
                                 "a cubic through the two neighbours on either side; beyond the "
                                 "measured range the outermost value is held",
                                 "astm-e2022", "colour.md#spectrum"},
    [MDR_COLOUR_WHY_WEIGHTS] = {"XYZ",
                                "sum of reflectance times weight; the weight holds illuminant and "
                                "observer",
                                "astm-e308", "colour.md#weights"},
    [MDR_COLOUR_WHY_CIELAB] = {"L*, a*, b*", "cube roots of X, Y, Z relative to the white",
                               "cie-15", "colour.md#cielab"},
    [MDR_COLOUR_WHY_READINGS] =
        {"Repeated readings",
         "mean wavelength by wavelength; an outlier is one further from the "
         "others than their own scatter explains",
         "student-t", "colour.md#readings"},
    [MDR_COLOUR_WHY_DE_76] = {"Difference", "CIE76: distance in L*, a*, b*", "cie-15",
                              "colour.md#differences"},
    [MDR_COLOUR_WHY_DE_CMC] = {"Difference",
                               "CMC(l:c): dL*, dC*, dH*, each over its tolerance at the standard",
                               "iso-105-j03", "colour.md#differences"},
    [MDR_COLOUR_WHY_DE_94] = {"Difference",
                              "CIE94 for textiles: dL*, dC*, dH*, each over its tolerance at the "
                              "standard",
                              "cie-15", "colour.md#differences"},
    [MDR_COLOUR_WHY_DE_2000] =
        {"Difference",
         "CIEDE2000: dL', dC', dH', each over its tolerance half way between "
         "the two, with the turn of the blues",
         "sharma-ciede2000", "colour.md#differences"},
    [MDR_COLOUR_WHY_DE_DIN99] = {"Difference", "DIN99: distance in a space that is bent first",
                                 "din-6176", "colour.md#differences"},
    [MDR_COLOUR_WHY_VERDICT] = {"Verdict",
                                "passes when no difference is above its limit under any light",
                                "common-practice", "shade.md#verdict"},
    [MDR_COLOUR_WHY_WORDS] = {"Words", "the parts that make 30 % of the difference, largest first",
                              "common-practice", "shade.md#words"},
    [MDR_COLOUR_WHY_METAMERISM] =
        {"Metamerism",
         "difference under the other light, after the one under the first "
         "light is taken out as factors on X, Y, Z",
         "cie-15", "colour.md#metamerism"},
    [MDR_COLOUR_WHY_INCONSTANCY] =
        {"Inconstancy",
         "the colour under the other light, to an eye used to it, against "
         "the colour under the first light",
         "iso-105-j05", "colour.md#metamerism"},
    [MDR_COLOUR_WHY_WHITENESS] =
        {"Whiteness and tint",
         "W = Y + 800 (xn - x) + 1700 (yn - y); T = 900 (xn - x) - 650 (yn "
         "- y), 1000 for 2 degree",
         "cie-15", "colour.md#whiteness"},
    [MDR_COLOUR_WHY_YELLOWNESS] = {"Yellowness", "YI = 100 (Cx X - Cz Z)/Y", "astm-e313",
                                   "colour.md#whiteness"},
    [MDR_COLOUR_WHY_STRENGTH] =
        {"Strength",
         "K/S = (1 - R)^2/(2 R) of the sample over that of the standard, the "
         "substrate's taken off both",
         "kubelka-munk", "colour.md#strength"},
    [MDR_COLOUR_WHY_CHANGE] = {"Change of colour",
                               "the scale's own difference, its hue and chroma part less counted; "
                               "graded by bands",
                               "iso-105-a05", "colour.md#grey-scales"},
    [MDR_COLOUR_WHY_STAINING] = {"Staining",
                                 "difference less 0.4 times what is not lightness; graded by bands",
                                 "iso-105-a04", "colour.md#grey-scales"},
    [MDR_COLOUR_WHY_LEVEL] =
        {"Level",
         "largest distance from the mean, furthest pair, beginning against end, "
         "side against side",
         "common-practice", "shade.md#level"},
    [MDR_COLOUR_WHY_CODES] = {"Codes",
                              "the standard is 555; each digit counts blocks along an axis",
                              "common-practice", "shade.md#three-digit-codes"},
    [MDR_COLOUR_WHY_GROUPS] =
        {"Groups",
         "as few as possible such that any two rolls of a group are within the "
         "limit, both ways",
         "brelaz-dsatur", "shade.md#groups-without-a-grid"},
    [MDR_COLOUR_WHY_ORDER] = {"Order", "the smallest sum of steps from roll to roll", "held-karp",
                              "shade.md#order-for-cutting"},
};

const mdr_answer_why *mdr_app_colour_whys(int *n)
{
    *n = MDR_COLOUR_WHY_COUNT;
    return WHYS;
}

const mdr_answer_why *mdr_colour_why_of(mdr_colour_why why)
{
    return &WHYS[why];
}

void mdr_colour_because(mdr_colour_desk *d, mdr_colour_why why)
{
    mdr_sheet_because(d->sheet, &WHYS[why]);
}

void mdr_colour_because_formula(mdr_colour_desk *d)
{
    static const mdr_colour_why OF[MDR_DE_COUNT] = {
        [MDR_DE_76] = MDR_COLOUR_WHY_DE_76,       [MDR_DE_CMC] = MDR_COLOUR_WHY_DE_CMC,
        [MDR_DE_94] = MDR_COLOUR_WHY_DE_94,       [MDR_DE_2000] = MDR_COLOUR_WHY_DE_2000,
        [MDR_DE_DIN99] = MDR_COLOUR_WHY_DE_DIN99,
    };
    mdr_colour_because(d, OF[d->spec.formula]);
}

typedef struct question_info {
    const char *id, *words;
} question_info;

static const question_info QUESTIONS[MDR_COLOUR_QUESTION_COUNT] = {
#define X(member, word, words) [MDR_COLOUR_##member] = {word, words},
    MDR_COLOUR_QUESTIONS(X)
#undef X
};

const char *mdr_colour_question_id(mdr_colour_question question)
{
    return QUESTIONS[question].id;
}

static mdr_code answer(mdr_colour_desk *d, mdr_err *err)
{
    switch (d->ask->question) {
    case MDR_COLOUR_READ:
        return mdr_colour_answer_read(d, err);
    case MDR_COLOUR_DIFFERENCE:
        return mdr_colour_answer_difference(d, err);
    case MDR_COLOUR_WHITENESS:
        return mdr_colour_answer_whiteness(d, err);
    case MDR_COLOUR_STRENGTH:
        return mdr_colour_answer_strength(d, err);
    case MDR_COLOUR_FASTNESS:
        return mdr_colour_answer_fastness(d, err);
    case MDR_COLOUR_GROUP:
        return mdr_colour_answer_group(d, err);
    case MDR_COLOUR_LEVEL:
        return mdr_colour_answer_level(d, err);
    case MDR_COLOUR_QUESTION_COUNT:
        break;
    }
    MDR_UNREACHABLE();
}

mdr_code mdr_app_colour(const mdr_colour_ask *ask, mdr_arena *arena, mdr_err_list *found,
                        const mdr_sheet **out, mdr_err *err)
{
    mdr_colour_desk d = {.ask = ask, .arena = arena, .found = found};
    MDR_TRY(mdr_sheet_new(arena, QUESTIONS[ask->question].id, QUESTIONS[ask->question].words,
                          &d.sheet, err));
    MDR_TRY(mdr_colour_ask_read(&d, err));
    MDR_TRY(answer(&d, err));
    MDR_TRY(mdr_sheet_done(d.sheet, err));
    *out = d.sheet;
    return MDR_OK;
}

mdr_code mdr_app_colour_json(const mdr_colour_ask *ask, mdr_arena *arena, mdr_err_list *found,
                             mdr_blob *out, mdr_err *err)
{
    const mdr_sheet *sheet = NULL;
    MDR_TRY(mdr_app_colour(ask, arena, found, &sheet, err));
    return mdr_sheet_json(sheet, arena, out, err);
}
