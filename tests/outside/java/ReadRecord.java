import java.io.File;
import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.util.ArrayList;
import java.util.Base64;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.apache.pdfbox.cos.COSDictionary;
import org.apache.pdfbox.pdmodel.PDDocument;
import org.apache.pdfbox.pdmodel.PDDocumentNameDictionary;
import org.apache.pdfbox.pdmodel.PDPage;
import org.apache.pdfbox.pdmodel.common.filespecification.PDComplexFileSpecification;
import org.apache.pdfbox.pdmodel.documentinterchange.logicalstructure.PDMarkedContentReference;
import org.apache.pdfbox.pdmodel.documentinterchange.logicalstructure.PDStructureElement;
import org.apache.pdfbox.pdmodel.documentinterchange.logicalstructure.PDStructureNode;
import org.apache.pdfbox.pdmodel.documentinterchange.markedcontent.PDMarkedContent;
import org.apache.pdfbox.text.PDFMarkedContentExtractor;
import org.apache.pdfbox.text.PDFTextStripper;
import org.apache.pdfbox.text.TextPosition;

/**
 * For each file what Apache PDFBox reads in it, one fact a line, texts in base64: title, language, attachments by name and SHA-256, the
 * text of every page in the order in which it was written (unsorted); then, as the structure tree has them, the headings, the entries of
 * the contents, and the marked texts of every page but those, one a line.
 */
public class ReadRecord {
  public static void main(String[] files) throws Exception {
    for (String file : files) {
      try (PDDocument document = PDDocument.load(new File(file))) {
        System.out.println("file");
        say("title", document.getDocumentInformation().getTitle());
        say("language", document.getDocumentCatalog().getLanguage());
        attachments(document);
        written(document);
        new Structure(document).read();
      }
    }
  }

  private static void say(String what, String text) {
    byte[] bytes = String.valueOf(text).getBytes(StandardCharsets.UTF_8);
    System.out.println(what + " " + Base64.getEncoder().encodeToString(bytes));
  }

  private static void attachments(PDDocument document) throws Exception {
    Map<String, PDComplexFileSpecification> files =
        new PDDocumentNameDictionary(document.getDocumentCatalog()).getEmbeddedFiles().getNames();
    for (String name : files.keySet()) {
      byte[] bytes = files.get(name).getEmbeddedFile().toByteArray();
      StringBuilder hex = new StringBuilder();
      for (byte b : MessageDigest.getInstance("SHA-256").digest(bytes)) hex.append(String.format("%02x", b));
      say("attachment", name + " " + hex);
    }
  }

  private static void written(PDDocument document) throws Exception {
    for (int page = 1; page <= document.getNumberOfPages(); page++) {
      PDFTextStripper stripper = new PDFTextStripper();
      stripper.setSortByPosition(false);
      stripper.setStartPage(page);
      stripper.setEndPage(page);
      say("page", stripper.getText(document));
    }
  }

  /** The marked texts of all pages, walked as the structure tree names them. */
  private static class Structure {
    private final PDDocument document;
    private final Map<COSDictionary, Integer> numbers = new HashMap<>();
    private final List<Map<Integer, String>> marked = new ArrayList<>();
    private final List<StringBuilder> texts = new ArrayList<>();

    Structure(PDDocument document) {
      this.document = document;
    }

    void read() throws Exception {
      for (PDPage page : document.getPages()) {
        numbers.put(page.getCOSObject(), marked.size());
        PDFMarkedContentExtractor extractor = new PDFMarkedContentExtractor();
        extractor.processPage(page);
        Map<Integer, String> texts = new HashMap<>();
        for (PDMarkedContent content : extractor.getMarkedContents())
          if (content.getMCID() >= 0) texts.merge(content.getMCID(), textOf(content), String::concat);
        marked.add(texts);
        this.texts.add(new StringBuilder());
      }
      walk(document.getDocumentCatalog().getStructureTreeRoot(), null, false);
      for (StringBuilder text : texts) say("tagged", text.toString());
    }

    private String walk(PDStructureNode node, PDPage above, boolean apart) {
      PDPage page = above;
      String type = "";
      if (node instanceof PDStructureElement) {
        PDStructureElement element = (PDStructureElement) node;
        if (element.getPage() != null) page = element.getPage();
        type = element.getStructureType();
      }
      boolean entry = type.equals("TOCI");
      StringBuilder own = new StringBuilder();
      for (Object kid : node.getKids()) {
        if (kid instanceof Integer) own.append(take((Integer) kid, page, apart || entry));
        else if (kid instanceof PDMarkedContentReference) {
          PDMarkedContentReference reference = (PDMarkedContentReference) kid;
          PDPage its = reference.getPage() == null ? page : reference.getPage();
          own.append(take(reference.getMCID(), its, apart || entry));
        } else if (kid instanceof PDStructureNode) {
          String below = walk((PDStructureNode) kid, page, apart || entry);
          if (apart || entry) own.append(below);
        }
      }
      if (type.equals("H1")) say("heading", own.toString());
      if (entry) say("contents", own.toString());
      return own.toString();
    }

    private String take(int id, PDPage page, boolean apart) {
      int number = numbers.get(page.getCOSObject());
      String text = marked.get(number).getOrDefault(id, "");
      if (!apart) texts.get(number).append(text).append('\n');
      return text;
    }

    private static String textOf(PDMarkedContent content) {
      StringBuilder text = new StringBuilder();
      for (Object part : content.getContents()) {
        if (part instanceof TextPosition) text.append(((TextPosition) part).getUnicode());
        else if (part instanceof PDMarkedContent) text.append(textOf((PDMarkedContent) part));
      }
      return text.toString();
    }
  }
}
